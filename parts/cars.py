"""The cars that kits are for. Parts know nothing of jobs: the app that does says so here, once, by `tell`."""

import datetime as dt
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

from shop.models import Entry

if TYPE_CHECKING:
    from parts.models import KitOrder


@dataclass(frozen=True)
class Car:
    """The job that an order's parts are for, as people say it, and the page about it."""

    job: str
    url: str
    words: str
    is_released: bool


@dataclass(frozen=True)
class Needs:
    """The day on which each operation of a car comes to need its parts, and which were started."""

    days: Mapping[str, dt.date] = field(default_factory=dict)
    started: frozenset[str] = frozenset()


class Cars(Protocol):
    """What is asked about cars, always of many orders at once, each by its key."""

    def of_orders(self, orders: Collection[int]) -> Mapping[int, Car]: ...

    def needs(self, orders: Collection[int], *, now: dt.datetime) -> Mapping[int, Needs]: ...

    def orders_of(self, word: str) -> Collection[int]:
        """The orders whose car has a word in its number, name, plate or serial."""
        ...

    def safety_operations(self, kit: str) -> frozenset[str]:
        """The operations with steering, suspension, brakes or welds in them, in the procedures of a kit."""
        ...

    def do_again(
        self, order: "KitOrder", operations: Collection[str], *, entry: Entry, reason: str, now: dt.datetime
    ) -> Mapping[str, str]:
        """Have operations of an order's car done once more, as the entry asks; the code of each that does.

        Raises:
            Refused: something open at one of them has to be settled first.
        """
        ...


class NoCars:
    """A parts counter by itself."""

    def of_orders(self, orders: Collection[int]) -> Mapping[int, Car]:
        return {}

    def needs(self, orders: Collection[int], *, now: dt.datetime) -> Mapping[int, Needs]:
        return {}

    def orders_of(self, word: str) -> Collection[int]:
        return ()

    def safety_operations(self, kit: str) -> frozenset[str]:
        return frozenset()

    def do_again(
        self, order: "KitOrder", operations: Collection[str], *, entry: Entry, reason: str, now: dt.datetime
    ) -> Mapping[str, str]:
        return {}


_cars: list[Cars] = [NoCars()]


def tell(cars: Cars) -> None:
    """Say who knows the cars; called once by the app that does."""
    _cars[:] = [cars]


def cars() -> Cars:
    return _cars[0]

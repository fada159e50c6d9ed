"""The plan's cars in the order in which somebody has to do something about them, and found by name."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from django.utils.translation import gettext as _

from jobs.desk.plan_lines import CarLine

# A promise that is kept less often than four times in five is at risk.
SAFE_CHANCE = 0.8
LONGEST_SEARCH = 80


class Standing(StrEnum):
    """How a car stands to its promise, the worst first."""

    LATE = "late"
    RISK = "risk"
    KEPT = "kept"
    NO_DATE = "no-date"


@dataclass(frozen=True)
class CarGroup:
    """Cars that stand alike. Where `is_told` each says at once why it is not ready earlier."""

    standing: Standing
    title: str
    cars: tuple[CarLine, ...]

    @property
    def is_told(self) -> bool:
        return self.standing in {Standing.LATE, Standing.RISK}


@dataclass(frozen=True)
class CarList:
    """All cars of a plan, or those that `asked` names: by job, car, serial, plate or customer."""

    every: tuple[CarLine, ...]
    asked: str = ""

    @cached_property
    def found(self) -> tuple[CarLine, ...]:
        words = self.asked.casefold().split()
        return tuple(car for car in self.every if all(word in _text_of(car) for word in words))

    @cached_property
    def groups(self) -> tuple[CarGroup, ...]:
        """Those that have a car: the latest first, then the least sure, the others by their day."""
        made = (CarGroup(one, _title(one), self._of(one)) for one in Standing)
        return tuple(group for group in made if group.cars)

    def _of(self, standing: Standing) -> tuple[CarLine, ...]:
        return tuple(sorted((car for car in self.found if standing_of(car) is standing), key=ORDER[standing]))

    @property
    def late(self) -> int:
        return self._count(Standing.LATE)

    @property
    def at_risk(self) -> int:
        return self._count(Standing.RISK)

    def _count(self, standing: Standing) -> int:
        return sum(1 for car in self.every if standing_of(car) is standing)


def standing_of(car: CarLine) -> Standing:
    """Late by the plan itself; at risk where the plan has it in time and that is not safe."""
    if car.row.job.promised_on is None:
        return Standing.NO_DATE
    if car.days_late:
        return Standing.LATE
    chance = car.row.promise_chance
    return Standing.RISK if chance is not None and chance < SAFE_CHANCE else Standing.KEPT


def _by_day(car: CarLine) -> tuple[float, float]:
    return car.row.ready_at.timestamp(), car.row.job.number


ORDER: dict[Standing, Callable[[CarLine], tuple[float, float]]] = {
    Standing.LATE: lambda car: (-car.days_late, car.row.job.number),
    Standing.RISK: lambda car: (car.row.promise_chance or 0.0, car.row.job.number),
    Standing.KEPT: _by_day,
    Standing.NO_DATE: _by_day,
}


def _title(standing: Standing) -> str:
    return {
        Standing.LATE: _("Misses its promise"),
        Standing.RISK: _("At risk"),
        Standing.KEPT: _("In time"),
        Standing.NO_DATE: _("No date promised"),
    }[standing]


def _text_of(car: CarLine) -> str:
    job = car.row.job
    parts: Iterable[str] = (
        str(job.number),
        str(job.vehicle),
        job.vehicle.serial,
        job.vehicle.plate,
        job.customer.name,
    )
    return " ".join(parts).casefold()

"""Who may stand in the list twice, and which car: the same phone, name, e-mail or serial."""

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from shop.models import Customer, Vehicle

# A number is written with or without what comes before it; these many digits at its end tell it.
PHONE_DIGITS = 7


@dataclass(frozen=True)
class Double:
    """Two customers who may be one, and what they have in common."""

    customer: Customer
    other: Customer
    why: str


@dataclass(frozen=True)
class DoubleCar:
    """Two cars that may be one."""

    vehicle: Vehicle
    other: Vehicle


def doubles() -> list[Double]:
    """Every pair of customers who may be one, in three queries."""
    customers = list(Customer.objects.kept().filter(erased_at=None).order_by("pk"))
    of_car = {car.pk: car.customer_id for car in _cars()}
    by_key = {customer.pk: customer for customer in customers}
    found: dict[tuple[int, int], list[str]] = defaultdict(list)
    for words, groups in (
        (_("the same phone"), _grouped((phone_key(c.phone), c.pk) for c in customers)),
        (_("the same name"), _grouped((name_key(c.name), c.pk) for c in customers)),
        (_("the same e-mail"), _grouped((c.email.casefold(), c.pk) for c in customers)),
        (
            _("a car of the same serial"),
            _grouped((serial_key(c.serial), of_car[c.pk]) for c in _cars()),
        ),
    ):
        for pair in _pairs(groups):
            found[pair].append(words)
    return [
        Double(by_key[one], by_key[two], ", ".join(why))
        for (one, two), why in sorted(found.items())
        if one in by_key and two in by_key
    ]


def doubles_of(customer: Customer) -> list[Double]:
    """Who may be this customer, with what they have in common."""
    return [
        Double(customer, d.other if d.customer.pk == customer.pk else d.customer, d.why)
        for d in doubles()
        if customer.pk in {d.customer.pk, d.other.pk}
    ]


def double_cars_of(vehicles: Iterable[Vehicle]) -> list[DoubleCar]:
    """Cars of the same serial as one of these, in one query."""
    wanted = list(vehicles)
    keys = {serial_key(car.serial): car for car in reversed(wanted)}
    return [
        DoubleCar(keys[serial_key(other.serial)], other)
        for other in _cars()
        if serial_key(other.serial) in keys and keys[serial_key(other.serial)].pk != other.pk
    ]


def known_by_serial(serial: str) -> Vehicle | None:
    """The car of that serial that was here before, with its customer."""
    key = serial_key(serial)
    return next((car for car in _cars() if serial_key(car.serial) == key), None) if key else None


def phone_key(phone: str) -> str:
    digits = re.sub(r"\D", "", phone)
    return digits[-PHONE_DIGITS:] if len(digits) >= PHONE_DIGITS else ""


def name_key(name: str) -> str:
    """The words of a name in any order, without capitals and commas."""
    return " ".join(sorted(re.sub(r"[\W_]+", " ", name.casefold()).split()))


def serial_key(serial: str) -> str:
    return re.sub(r"[\W_]+", "", serial.casefold())


def _cars() -> list[Vehicle]:
    return list(Vehicle.objects.kept().select_related("customer").order_by("-pk"))


def _grouped(keys: Iterable[tuple[str, int]]) -> dict[str, set[int]]:
    found: dict[str, set[int]] = defaultdict(set)
    for key, of in keys:
        if key:
            found[key].add(of)
    return found


def _pairs(groups: dict[str, set[int]]) -> set[tuple[int, int]]:
    """Each of a group with the first of it: whoever is merged so leaves none over."""
    return {(first, other) for group in groups.values() for first, *rest in [sorted(group)] for other in rest}

"""Customers and cars that were here before, offered where a job is opened."""

from dataclasses import dataclass
from typing import Any

from django.db.models import Prefetch, Q
from django.utils.translation import gettext as _

from shop.models import Customer, Vehicle

MOST_OFFERED = 8
LONGEST_KEY = 18


@dataclass(frozen=True)
class Known:
    """Whom the shop knows already: a customer with a new car, or one of their cars."""

    customer: Customer | None = None
    vehicle: Vehicle | None = None


def known_of(choice: str) -> Known | None:
    """What a choice such as c12 or v7 names; None where there is no such row any more."""
    kind, key = choice[:1], choice[1:]
    if not choice:
        return Known()
    if not (key.isascii() and key.isdecimal() and len(key) < LONGEST_KEY):
        return None
    if kind == "v":
        car = Vehicle.objects.kept().filter(pk=key, customer__erased_at=None)
        found = car.select_related("customer").first()
        return Known(found.customer, found) if found else None
    customer = Customer.objects.kept().filter(pk=key, erased_at=None).first() if kind == "c" else None
    return Known(customer) if customer else None


def known_choices(words: str, *, chosen: str) -> list[tuple[str, Any]]:
    """Nobody known first, then whoever is found, each of their cars before a new one."""
    found = list(_found(words)) if words.strip() else []
    known = known_of(chosen)
    if known and known.customer and known.customer not in found:
        found += list(_with_cars(Q(pk=known.customer.pk)))
    choices: list[tuple[str, Any]] = [("", _("A new customer with a new car"))]
    for customer in found:
        choices += [(f"v{car.pk}", _car_words(customer, car)) for car in customer.vehicles.all()]
        choices.append((f"c{customer.pk}", _("%(who)s: a new car") % {"who": _who(customer)}))
    return choices


def _found(words: str) -> Any:
    matching = Customer.objects.kept().filter(erased_at=None).found_by(words).values("pk")[:MOST_OFFERED]
    return _with_cars(Q(pk__in=[row["pk"] for row in matching]))


def _with_cars(which: Q) -> Any:
    cars = Prefetch("vehicles", Vehicle.objects.kept())
    return Customer.objects.filter(which).order_by("name", "pk").prefetch_related(cars)


def _who(customer: Customer) -> str:
    return f"{customer}, {customer.phone}" if customer.phone else str(customer)


def _car_words(customer: Customer, car: Vehicle) -> str:
    what = ", ".join(part for part in (str(car), car.serial, car.plate) if part)
    return f"{_who(customer)}: {what}"

"""Customers and cars beside those of the short route, each with its event."""

from typing import Any

from jobs.models import Job
from shop.keeping import keep
from shop.models import Customer, Vehicle
from tests.factories import NOON, CustomerFactory, PersonFactory, VehicleFactory
from tests.jobs.desk import Desk, another_car
from tests.jobs.small_route import SmallRoute


def other_job(route: SmallRoute) -> Job:
    return Job.objects.get(number=another_car(route))


def known(**fields: Any) -> tuple[Customer, Vehicle]:
    """Somebody beside the route's own, with a car."""
    customer = CustomerFactory(**{"name": "Ilse Quern", "phone": "+1 (555) 010-7788", **fields})
    car = VehicleFactory(customer=customer, serial="QX-77 1", plate="DEMO 44", description="Oldtest coupe")
    for row in (customer, car):
        keep(row, changed=(), added=True, by=PersonFactory(), now=NOON)
    return customer, car


def seen(desk: Desk, page: str) -> str:
    return desk.get(page).context["form"].state  # type: ignore[attr-defined, no-any-return]

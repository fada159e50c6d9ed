"""Somebody of the short route at a desk: pages asked for and entries posted as a browser does."""

import uuid
from typing import Any

import time_machine
from django.http import HttpResponse
from django.test import Client

from tests.jobs.small_route import SmallRoute

PIN = "4711"


class Desk:
    """One person's browser, at the route's own time."""

    def __init__(self, route: SmallRoute, who: str) -> None:
        self.route, self.person, self.client = route, route.people[who], Client()
        self.client.force_login(self.person)

    def get(self, path: str, target: str = "", **headers: str) -> HttpResponse:
        with time_machine.travel(self.route.now, tick=False):
            return self.client.get(path, headers={**_htmx(target), **headers})

    def page(self, path: str) -> str:
        answer = self.get(path)
        assert answer.status_code == 200, answer.status_code
        return answer.content.decode()

    def post(self, path: str, data: dict[str, Any], target: str = "") -> HttpResponse:
        with time_machine.travel(self.route.now, tick=False):
            return self.client.post(path, data, headers=_htmx(target))

    def enter(self, kind: str, subject: str, /, target: str = "", **fields: Any) -> HttpResponse:
        """Post an entry having seen the last one; payload fields go by their own names."""
        outer = {"entry_id", "saw", "key", "pin", "second_username", "second_pin", "next", "entered_at"}
        saw = self.route.saw(subject)
        data = {"entry_id": str(uuid.uuid4()), "saw": str(saw or ""), "kind": kind, "subject": subject}
        data |= {name if name in outer else f"p_{name}": value for name, value in fields.items()}
        return self.post(f"/jobs/{self.route.job.number}/entries/", data, target)


def give_pins(route: SmallRoute) -> None:
    for person in route.people.values():
        person.set_pin(PIN)
        person.save()


def _htmx(target: str) -> dict[str, str]:
    return {"HX-Request": "true", "HX-Target": target} if target else {}


def another_car(route: SmallRoute) -> int:
    """A second job on the same revision, not in a bay; returns its number."""
    from jobs.opening import Booking, open_job
    from parts.models import KitOrder
    from shop.models import Customer, Vehicle

    first = route.job
    order = KitOrder.objects.create(
        number=f"K-{KitOrder.objects.count() + 10}",
        kit_revision=first.kit_order.kit_revision,
        ordered_on=route.now.date(),
    )
    customer = Customer(name="Other customer")
    vehicle = Vehicle(customer=customer, model_year=1965, description="Other car", serial=f"S{order.pk}")
    booking = Booking(customer, vehicle, first.procedure_revision, order)
    return open_job(booking, by=route.people["ash"], now=route.now).number

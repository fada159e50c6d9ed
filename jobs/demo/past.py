"""Cars of the month before, taken through the shop after a plan had said when they would be ready."""

import uuid
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from jobs.demo.files import day, read_yaml
from jobs.demo.planning import plan_shop
from parts.deliveries import CountedPart, Delivery
from parts.models import KitOrder, KitRevision
from parts.ordering import open_order
from parts.receiving import last_seen, receive
from shop.models import SignedHow

if TYPE_CHECKING:
    from jobs.demo.loading import Scenario


def load_past(scenario: "Scenario") -> None:
    """All of them are booked in, planned for, worked on and handed over, in that order."""
    data = read_yaml("past.yaml")
    cars = list(_cars(data))
    for car in cars:
        _order(scenario, data["kit"], car["kit_order"])
    begun = [(scenario.begin(car), car) for car in cars]
    plan_shop(by=scenario.manager, now=scenario.opening(data["planned"]))
    for player, car in begun:
        scenario.go_through(player, car)


def _cars(data: dict[str, Any]) -> Iterator[dict[str, Any]]:
    every = data["every"]
    for car in data["cars"]:
        report = {**every["condition"]["report"], "odometer": car["odometer"]}
        yield {
            **every,
            **car,
            "condition": {**every["condition"], "report": report},
            "authority": {**every["authority"], "given_by": car["customer"]["name"]},
        }


def _order(scenario: "Scenario", kit: dict[str, str], number: str) -> None:
    """A kit that came whole, on one day."""
    revision = KitRevision.objects.get(kit__code=kit["code"], revision=kit["revision"])
    open_order(
        number=number,
        kit_revision=revision,
        ordered_on=day(kit["ordered"], scenario.today),
        expected_on=day(kit["expected"], scenario.today),
        by=scenario.manager,
        now=scenario.opening(kit["ordered"]),
    )
    order = KitOrder.objects.get(number=number)
    answer = receive(
        order=order,
        delivery=Delivery(
            "", tuple(CountedPart(row.part_number, row.quantity) for row in revision.lines.all())
        ),
        entry_id=uuid.uuid5(uuid.NAMESPACE_OID, f"{number}/whole"),
        saw=last_seen(order),
        signer=scenario.people[kit["by"]],
        signed_how=SignedHow.LOADED,
        now=scenario.opening(kit["received"]),
    )
    if not answer.accepted:
        raise RuntimeError(f"{number}: {answer.data}")

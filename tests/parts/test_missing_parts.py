"""Every missing part over all orders: overdue ones first, then by need, with who was told what when."""

import datetime as dt
import re
from uuid import UUID

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from parts.cars import Needs, cars
from parts.models import Expectation, KitOrder
from parts.order_listing import find_orders
from shop.models import Person
from tests.factories import (
    DAY,
    NOON,
    ExpectationFactory,
    KitLineFactory,
    KitOrderFactory,
    KitRevisionFactory,
    ReceiptFactory,
    ReceiptLineFactory,
)
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

ADDRESS = reverse("parts:missing_parts")


def short(part: str, *, told: int | None = None, critical: bool = False, note: str = "Claim 17") -> KitOrder:
    """An order of one line of which 1 of 4 came; `told`: in how many days the rest is to come."""
    line = KitLineFactory(revision=KitRevisionFactory(), part_number=part, is_critical=critical)
    order = KitOrderFactory(kit_revision=line.revision)
    ReceiptLineFactory(receipt=ReceiptFactory(order=order), kit_line=line, counted=1)
    if told is not None:
        ExpectationFactory(order=order, kit_line=line, eta=DAY + dt.timedelta(days=told), note=note)
    return order


@pytest.fixture
def desk(clerk: Person) -> Client:
    """The clerk at the counter, on the day of the tests."""
    client = Client()
    client.force_login(clerk)
    return client


@pytest.fixture(autouse=True)
def that_day() -> object:
    with time_machine.travel(NOON, tick=False) as clock:
        yield clock


def parts(client: Client, **query: str) -> list[str]:
    return [row.line.part_number for row in client.get(ADDRESS, query).context["missing"].rows]


def test_overdue_ones_stand_first_and_say_by_how_much(desk: Client) -> None:
    short("LATER", told=3)
    short("OVERDUE", told=-2)
    short("UNSAID", critical=True)
    assert parts(desk) == ["OVERDUE", "UNSAID", "LATER"]
    text = desk.get(ADDRESS).content.decode()
    for words in (
        "3 parts are missing.",
        "1 is overdue.",
        "2 days overdue",
        "nobody has said",
        "13 Apr 2030",
    ):
        assert words in text
    assert "13 Apr 2030: Claim 17" in text
    assert re.search(r"noted 15 Apr 2030 12:00, Person \d+ of the Test Shop", text)


def test_kits_that_have_not_come_and_parts_not_yet_counted_are_not_missing(desk: Client) -> None:
    KitOrderFactory(kit_revision=KitLineFactory().revision)
    assert parts(desk) == []
    assert "No part is missing." in desk.get(ADDRESS).content.decode()


def test_found_as_one_types_by_part_supplier_order_or_car(desk: Client) -> None:
    first, second = short("AXLE-1"), short("BOLT-2")
    assert parts(desk, q="axle") == ["AXLE-1"]
    assert parts(desk, q=f"{second.number} bolt") == ["BOLT-2"]
    supplier = first.kit_revision.kit.supplier
    supplier.name = "Wrightson, invented"
    supplier.save()
    assert parts(desk, q="WRIGHTSON") == ["AXLE-1"]
    htmx = {"HX-Request": "true", "HX-Target": "missing"}
    text = desk.get(ADDRESS, {"q": "nothing"}, headers=htmx).content.decode()
    assert "No missing part is found by “nothing”." in text
    assert "<html" not in text


def test_a_day_is_told_in_its_row_and_leads_back_to_it(desk: Client) -> None:
    order = short("AXLE-1", told=-2)
    line = order.kit_revision.lines.get()
    at = reverse("parts:expect", args=[order.number, line.pk]) + "?from=missing"
    assert at in desk.get(ADDRESS).content.decode()
    fields = _fields(desk, order)
    for _ in range(2):
        answer = desk.post(at, fields)
        assert answer["Location"] == f"{ADDRESS}#part-{order.pk}-{line.pk}"
    assert Expectation.objects.count() == 2
    text = desk.get(ADDRESS).content.decode()
    assert text.index("Called, claim 18") < text.index("Claim 17")
    assert "is overdue" not in text
    bad = desk.post(at, _fields(desk, order) | {"eta": "soon"})
    assert bad.status_code == 422
    assert 'value="Called, claim 18"' in bad.content.decode()


def _fields(client: Client, order: KitOrder) -> dict[str, str]:
    text = client.get(ADDRESS).content.decode()
    row = text[text.index(f'id="part-{order.pk}-') :]
    hidden = {
        name: match[1]
        for name in ("entry_id", "saw")
        if (match := re.search(rf'name="{name}" value="([^"]*)"', row))
    }
    assert UUID(hidden["entry_id"])
    return {"saw": "", **hidden, "eta": "2030-04-30", "note": "Called, claim 18"}


def test_the_list_as_a_file_runs_nothing_in_a_spreadsheet(desk: Client) -> None:
    short("=HYPERLINK(1)", told=1, note="+1 555, @claims")
    answer = desk.get(reverse("parts:missing_parts_export"))
    head, row = answer.content.decode("utf-8-sig").splitlines()
    assert head.startswith(
        "part_number,description,order,supplier,job,short,ordered,critical,operation,needed"
    )
    assert row.startswith("'=HYPERLINK(1),Sleeve,K-")
    assert '"\'+1 555, @claims"' in row


def test_whoever_only_looks_sees_it_and_tells_nothing(looker: Client) -> None:
    short("AXLE-1")
    text = looker.get(ADDRESS).content.decode()
    assert "AXLE-1" in text
    assert "Record the date" not in text


def test_queries_do_not_grow_with_missing_parts(desk: Client) -> None:
    short("AXLE-0", told=1)
    desk.get(ADDRESS)
    with CaptureQueriesContext(connection) as few:
        desk.get(ADDRESS)
    for at in range(1, 6):
        short(f"AXLE-{at}", told=at)
    with CaptureQueriesContext(connection) as many:
        desk.get(ADDRESS)
    assert len(few) == len(many)


def test_the_car_says_when_it_comes_to_need_what_is_missing(
    db: None, that_day: "time_machine.Traveller"
) -> None:
    route = SmallRoute()
    that_day.move_to(route.now)
    route.count_kit(TC_ARM=1)
    order = route.job.kit_order
    (need,) = cars().needs([order.pk], now=route.now).values()
    assert need.days["A10"] > route.now.date()
    assert need.started == frozenset()
    text = Desk(route, "pike").page(ADDRESS)
    assert f"Job {route.job.number}" in text
    assert "nobody has said when" in text
    assert [found.number for found in find_orders(f"{route.job.number}")] == [order.number]
    assert cars().of_orders([order.pk])[order.pk].words in Desk(route, "pike").page(
        reverse("parts:order_list")
    )


def test_a_car_that_was_handed_over_needs_nothing_more(db: None) -> None:
    route = SmallRoute()
    route.job.released_at = route.now
    route.job.save()
    assert cars().needs([route.job.kit_order_id], now=route.now).get(route.job.kit_order_id) is None
    assert Needs().days == {}

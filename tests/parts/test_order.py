"""One kit order: shortages on top, its slips and receipts, a file to send to the supplier."""

import datetime as dt

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from parts.models import KitOrder
from parts.slip_files import bring_in_slip
from shop.models import Person
from tests.factories import (
    DAY,
    NOON,
    ExpectationFactory,
    KitLineFactory,
    KitOrderFactory,
    PackingSlipFactory,
    ReceiptFactory,
    ReceiptLineFactory,
    SlipLineFactory,
)
from tests.parts.kit_texts import SLIP


def page(client: Client, order: KitOrder) -> str:
    answer = client.get(reverse("parts:order", args=[order.number]))
    assert answer.status_code == 200
    return answer.content.decode()


def received(order: KitOrder, *good: int) -> None:
    receipt = ReceiptFactory(order=order, slip=order.slips.first())
    for line, pieces in zip(order.kit_revision.lines.all(), good, strict=False):
        ReceiptLineFactory(receipt=receipt, kit_line=line, counted=pieces)


def test_an_order_on_its_way(counter: Client, order: KitOrder) -> None:
    text = page(counter, order)
    assert "Nothing has come yet." in text
    assert "T1-110" in text
    assert 'id="short"' not in text


def test_a_slip_that_is_not_counted(counter: Client, order: KitOrder, clerk: Person) -> None:
    bring_in_slip(SLIP, by=clerk, now=NOON)
    text = page(counter, order)
    assert "nothing has been counted yet" in text
    assert f"{reverse('parts:receive', args=[order.number])}?slip=PS-77" in text


def test_shortages_stand_on_top_with_their_reasons(counter: Client, order: KitOrder, clerk: Person) -> None:
    bring_in_slip(SLIP, by=clerk, now=NOON)
    received(order, 1, 2, 8)
    text = page(counter, order)
    assert text.index('id="short"') < text.index('id="slips"') < text.index('id="lines"')
    assert "2 of 4 short" in text
    assert "2 backordered on the slip" in text
    assert "24 Apr 2030" in text
    assert "X-9 Sticker: not in the kit" in text


def test_a_date_is_to_be_said_where_there_is_none(counter: Client, looker: Client, order: KitOrder) -> None:
    received(order, 0)
    line = order.kit_revision.lines.get(part_number="T1-100")
    address = reverse("parts:expect", args=[order.number, line.pk])
    assert address in page(counter, order)
    assert address not in page(looker, order)
    assert "no date" in page(looker, order)
    ExpectationFactory(order=order, kit_line=line, eta=DAY + dt.timedelta(days=3), note="Claim 17")
    assert "Claim 17" in page(looker, order)
    assert "18 Apr 2030" in page(looker, order)


def test_an_order_of_which_all_is_here(counter: Client, order: KitOrder) -> None:
    received(order, 1, 4, 9)
    text = page(counter, order)
    assert "All that was ordered is here." in text
    assert "1 more than ordered" in text


def test_an_order_that_is_not_there(counter: Client) -> None:
    assert counter.get(reverse("parts:order", args=["K-9999"])).status_code == 404


def test_the_standing_as_a_file(looker: Client, order: KitOrder) -> None:
    received(order, 1, 3, 8)
    answer = looker.get(reverse("parts:order_export", args=[order.number]))
    assert answer["Content-Disposition"] == 'attachment; filename="K-0001.csv"'
    rows = answer.content.decode("utf-8-sig").splitlines()
    assert rows[0].startswith("part_number,description,operation,critical,ordered")
    assert rows[2] == "T1-110,Sleeve ½ in,D30,yes,4,0,0,3,0,0,0,0,1,,1 of 4 short: 1 on no slip yet"


def test_queries_do_not_grow_with_slips_and_receipts(counter: Client, order: KitOrder) -> None:
    def more() -> None:
        slip = PackingSlipFactory(order=order)
        line = order.kit_revision.lines.first()
        SlipLineFactory(slip=slip, kit_line=line)
        ReceiptLineFactory(receipt=ReceiptFactory(order=order, slip=slip), kit_line=line)
        ExpectationFactory(order=order, kit_line=line)

    more()
    page(counter, order)
    with CaptureQueriesContext(connection) as few:
        page(counter, order)
    for _ in range(4):
        more()
    with CaptureQueriesContext(connection) as many:
        page(counter, order)
    assert len(few) == len(many)


def test_the_file_runs_nothing_in_a_spreadsheet(looker: Client) -> None:
    order = KitOrderFactory()
    KitLineFactory(revision=order.kit_revision, part_number="@SUM(1)", description="=1+1")
    answer = looker.get(reverse("parts:order_export", args=[order.number]))
    assert answer.content.decode("utf-8-sig").splitlines()[1].startswith("'@SUM(1),'=1+1,")

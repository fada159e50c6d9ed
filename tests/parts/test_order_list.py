"""The list of kit orders: found, sorted, told apart, and no slower with more of them."""

import datetime as dt

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from parts.models import KitOrder
from shop.models import Person
from tests.factories import (
    DAY,
    NOON,
    KitLineFactory,
    KitOrderFactory,
    KitRevisionFactory,
    PackingSlipFactory,
    ReceiptFactory,
    ReceiptLineFactory,
    SlipLineFactory,
)

ADDRESS = reverse("parts:order_list")


def one_of_each() -> tuple[KitOrder, KitOrder, KitOrder]:
    """Expected, short, complete."""
    orders = []
    for counted in (None, 1, 4):
        revision = KitRevisionFactory()
        line = KitLineFactory(revision=revision, quantity=4, is_critical=True)
        order = KitOrderFactory(kit_revision=revision)
        slip = PackingSlipFactory(order=order)
        SlipLineFactory(slip=slip, kit_line=line)
        if counted is not None:
            ReceiptLineFactory(receipt=ReceiptFactory(order=order, slip=slip), kit_line=line, counted=counted)
        orders.append(order)
    return orders[0], orders[1], orders[2]


def numbers(client: Client, **query: str) -> list[str]:
    answer = client.get(ADDRESS, query)
    assert answer.status_code == 200
    return [row.order.number for row in answer.context["list"].rows]


def test_an_empty_list_says_how_to_begin(counter: Client, looker: Client) -> None:
    assert "New kit order" in counter.get(ADDRESS).content.decode()
    looked = looker.get(ADDRESS).content.decode()
    assert "No kit has been ordered yet." in looked
    assert "New kit order" not in looked


def test_the_states_are_told_apart(counter: Client) -> None:
    expected, short, complete = one_of_each()
    assert numbers(counter) == [expected.number, short.number, complete.number]
    assert numbers(counter, state="expected") == [expected.number]
    assert numbers(counter, state="short") == [short.number]
    assert numbers(counter, state="complete") == [complete.number]
    assert numbers(counter, state="nonsense") == numbers(counter)
    page = counter.get(ADDRESS).content.decode()
    assert "1 part short, 1 critical" in page
    assert "1 part without a date" in page


def test_orders_are_found_by_number_kit_and_supplier(counter: Client) -> None:
    first, second, _third = one_of_each()
    assert numbers(counter, q=first.number) == [first.number]
    assert numbers(counter, q=second.kit_revision.kit.code.lower()) == [second.number]
    assert numbers(counter, q=f"{first.number} {first.kit_revision.kit.supplier.name}") == [first.number]
    assert "No kit order is found" in counter.get(ADDRESS, {"q": "nothing of the kind"}).content.decode()


@pytest.mark.parametrize("sort", ["number", "kit", "expected", "short", "nonsense"])
def test_sorting_lives_in_the_address(counter: Client, sort: str) -> None:
    one_of_each()
    KitOrderFactory(expected_on=None)
    assert numbers(counter, sort=f"-{sort}") == numbers(counter, sort=sort)[::-1]


def test_the_most_short_come_last_upwards(counter: Client) -> None:
    expected, short, complete = one_of_each()
    assert numbers(counter, sort="short") == [expected.number, complete.number, short.number]


@pytest.mark.parametrize(("days_later", "is_late"), [(0, True), (-1, False), (-2, False)])
def test_late_is_said_of_what_has_not_come(clerk: Person, days_later: int, is_late: bool) -> None:
    KitOrderFactory(expected_on=DAY - dt.timedelta(days=1))
    with time_machine.travel(NOON + dt.timedelta(days=days_later), tick=False):
        client = Client()
        client.force_login(clerk)
        assert ("<b>late</b>" in client.get(ADDRESS).content.decode()) is is_late


def test_queries_do_not_grow_with_orders(counter: Client) -> None:
    one_of_each()
    counter.get(ADDRESS)
    with CaptureQueriesContext(connection) as few:
        counter.get(ADDRESS)
    for _ in range(4):
        one_of_each()
    with CaptureQueriesContext(connection) as many:
        counter.get(ADDRESS)
    assert len(few) == len(many)


def test_whoever_is_not_signed_in_is_asked_to(db: None) -> None:
    answer = Client().get(ADDRESS)
    assert answer.status_code == 302
    assert answer["Location"].startswith(reverse("shop:sign_in"))

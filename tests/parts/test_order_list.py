"""The list of kit orders: found, sorted, told apart, and no slower with more of them."""

import datetime as dt

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from parts.models import KitOrder
from parts.order_listing import MOST_COMPLETE
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
    assert numbers(counter) == [short.number, expected.number, complete.number]
    assert numbers(counter, state="expected") == [expected.number]
    assert numbers(counter, state="short") == [short.number]
    assert numbers(counter, state="complete") == [complete.number]
    assert numbers(counter, state="nonsense") == numbers(counter)
    page = counter.get(ADDRESS).content.decode()
    parts = [page.index(f'<h2 id="{state}">') for state in ("short", "expected", "complete")]
    assert parts == sorted(parts)
    assert "1 part short, 1 critical" in page
    assert "1 part without a date" in page


def test_orders_are_found_by_number_kit_and_supplier(counter: Client) -> None:
    first, second, _third = one_of_each()
    assert numbers(counter, q=first.number) == [first.number]
    assert numbers(counter, q=second.kit_revision.kit.code.lower()) == [second.number]
    assert numbers(counter, q=f"{first.number} {first.kit_revision.kit.supplier.name}") == [first.number]
    assert "No kit order is found" in counter.get(ADDRESS, {"q": "nothing of the kind"}).content.decode()


@pytest.mark.parametrize("sort", ["number", "kit", "expected", "nonsense"])
def test_sorting_lives_in_the_address(counter: Client, sort: str) -> None:
    for days in (3, 1, None, 2):
        KitOrderFactory(expected_on=DAY + dt.timedelta(days=days) if days else None)
    assert numbers(counter, sort=f"-{sort}") == numbers(counter, sort=sort)[::-1]


def test_what_is_expected_next_stands_first(counter: Client) -> None:
    later, first, never = (
        KitOrderFactory(expected_on=DAY + dt.timedelta(days=days) if days else None) for days in (9, 2, None)
    )
    assert numbers(counter) == [first.number, later.number, never.number]


@pytest.mark.parametrize(
    ("days", "words"), [(1, "1 day overdue"), (0, "today"), (-1, "1 day to go"), (-5, "5 days to go")]
)
def test_days_to_go_and_overdue(clerk: Person, days: int, words: str) -> None:
    KitOrderFactory(expected_on=DAY)
    with time_machine.travel(NOON + dt.timedelta(days=days), tick=False):
        client = Client()
        client.force_login(clerk)
        (row,) = client.get(ADDRESS).context["list"].rows
        assert (row.to_go_words, row.is_overdue) == (words, days > 0)
        assert words in client.get(ADDRESS).content.decode()


@time_machine.travel(NOON + dt.timedelta(days=3), tick=False)
def test_what_has_come_or_has_its_slip_here_is_not_overdue(clerk: Person) -> None:
    one_of_each()
    KitOrderFactory(number="K-9")
    client = Client()
    client.force_login(clerk)
    rows = client.get(ADDRESS).context["list"].rows
    assert [row.order.number for row in rows if row.is_overdue] == ["K-9"]


def test_the_search_answers_with_the_list_alone(counter: Client) -> None:
    first, _second, _third = one_of_each()
    htmx = {"HX-Request": "true", "HX-Target": "orders"}
    text = counter.get(ADDRESS, {"q": first.slips.get().number}, headers=htmx).content.decode()
    assert first.number in text
    assert "<html" not in text
    assert text.count("<tr") == 2


def test_of_what_is_complete_the_newest_are_enough(counter: Client) -> None:
    line = KitLineFactory(quantity=4)
    orders = [KitOrderFactory(kit_revision=line.revision) for _ in range(MOST_COMPLETE + 2)]
    for order in orders:
        ReceiptLineFactory(receipt=ReceiptFactory(order=order), kit_line=line)
    assert len(numbers(counter)) == MOST_COMPLETE
    assert orders[0].number not in numbers(counter)
    assert "2 older ones" in counter.get(ADDRESS).content.decode()
    assert len(numbers(counter, state="complete")) == MOST_COMPLETE + 2


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

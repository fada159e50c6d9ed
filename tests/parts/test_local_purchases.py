"""Bought locally: counts as here, named where the car depends on it."""

import pytest
from django.test import Client
from django.urls import reverse

from parts.models import KitOrder, LocalPurchase
from parts.reconciling import reconcile
from parts.standing import Kind
from parts.wording import line_words
from shop.verification import verify_record
from tests.parts.counting_by_hand import counted
from tests.parts.pages_by_hand import said, sent, typed, words_of

BOLT = {"quantity": "3", "part_number": "HX-8", "grade": "8", "bought_from": "Invented Fasteners"}
SLEEVE = {"quantity": "1", "part_number": "SL-½", "bought_from": "Invented Tubes"}


def address(order: KitOrder, part: str = "T1-200") -> str:
    line = order.kit_revision.lines.get(part_number=part)
    return reverse("parts:local_purchases", args=[order.number, line.pk])


@pytest.fixture
def short(counter: Client, order: KitOrder) -> KitOrder:
    counted(counter, order, T1_100=1, T1_110=3, T1_200=5)
    return order


def test_what_is_bought_counts_as_here(counter: Client, short: KitOrder) -> None:
    fields = {**BOLT, "price_each": "1.25", "note": "for Tuesday"}
    page = words_of(counter, sent(counter, address(short), **fields))
    assert "3 of T1-200 count as here." in page
    assert "3 of T1-200 bought from Invented Fasteners (HX-8, grade 8)" in page
    row = LocalPurchase.objects.get()
    assert (row.quantity, row.grade, str(row.price_each), row.note) == (3, "8", "1.25", "for Tuesday")
    line = reconcile(short).lines[2]
    assert (line.counted, line.bought, line.here, line.short) == (5, 3, 8, 0)
    assert line_words(line) == "3 bought locally"
    assert verify_record().is_whole


def test_some_of_what_is_short_leaves_the_rest_short(counter: Client, short: KitOrder) -> None:
    sent(counter, address(short), **BOLT | {"quantity": "2"})
    line = reconcile(short).lines[2]
    assert (line.short, line.kinds) == (1, (Kind.NOT_YET_SLIPPED, Kind.BOUGHT))


def test_the_kits_own_that_come_later_are_too_many_by_those_bought(counter: Client, short: KitOrder) -> None:
    sent(counter, address(short), **BOLT)
    assert counted(counter, short, T1_200=3).status_code == 302  # the supplier sent no more than was ordered
    line = reconcile(short).lines[2]
    assert (line.over, line.over_delivered) == (3, 0)
    assert "3 more than needed, with those bought" in line_words(line)


@pytest.mark.parametrize(
    ("part", "typed_in", "field", "words"),
    [
        ("T1-110", SLEEVE | {"part_number": ""}, "part_number", "shows on the papers"),
        ("T1-200", BOLT | {"part_number": ""}, "part_number", "shows on the papers"),
        ("T1-200", BOLT | {"grade": ""}, "grade", "the kit has 8"),
        ("T1-200", BOLT | {"grade": "5"}, "note", "who decided that another one may be used"),
        ("T1-200", BOLT | {"quantity": "0"}, "quantity", "how many pieces"),
        ("T1-200", BOLT | {"quantity": ""}, "quantity", "Type a number"),
        ("T1-200", BOLT | {"quantity": "1" + "0" * 399}, "quantity", "too many"),
        ("T1-200", BOLT | {"bought_from": ""}, "bought_from", "required"),
        ("T1-200", BOLT | {"price_each": "-1"}, "price_each", "greater than or equal to 0"),
        ("T1-200", BOLT | {"price_each": "NaN"}, "price_each", "Enter a number"),
        ("T1-200", BOLT | {"price_each": "1" + "0" * 399}, "price_each", "no more than"),
        ("T1-200", BOLT | {"note": "n" * 10_000}, "note", "at most 200"),
    ],
)
def test_bad_input_is_told_in_place_and_kept(
    counter: Client, short: KitOrder, part: str, typed_in: dict[str, str], field: str, words: str
) -> None:
    answer = sent(counter, address(short, part), **typed_in)
    assert answer.status_code in (409, 422)
    assert words in said(answer, field)
    for name, value in typed_in.items():
        assert answer.context["form"][name].value() == value  # type: ignore[attr-defined]
    assert not LocalPurchase.objects.exists()


def test_another_grade_with_a_word_on_who_allowed_it(counter: Client, short: KitOrder) -> None:
    fields = BOLT | {"grade": "10.9", "note": "allowed by the lead, seat only"}
    assert sent(counter, address(short), **fields).status_code == 302


def test_sent_twice_is_bought_once(counter: Client, short: KitOrder) -> None:
    fields = typed(counter.get(address(short)), **BOLT)
    assert {counter.post(address(short), fields).status_code for _ in range(2)} == {302}
    assert LocalPurchase.objects.count() == 1
    other = counter.post(address(short), fields | {"quantity": "1"})
    assert "3 of T1-200 bought from Invented Fasteners. You sent it again with 1 of" in other.content.decode()


def test_names_in_any_script_and_what_a_spreadsheet_would_run(counter: Client, short: KitOrder) -> None:
    shop = "شركة 🔩 =HYPERLINK(1)"
    assert sent(counter, address(short), **BOLT | {"bought_from": shop}).status_code == 302
    assert LocalPurchase.objects.get().bought_from == shop


def test_whoever_only_looks_may_not(looker: Client, short: KitOrder) -> None:
    assert looker.get(address(short)).status_code == 403

"""Sent back: only what is here for that reason, and a good piece that goes is no longer here."""

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from parts.models import KitOrder, PartReturn
from parts.reconciling import reconcile
from parts.wording import line_words
from shop.models import Person
from shop.verification import verify_record
from tests.factories import DAY, NOON
from tests.parts.counting_by_hand import address as sheet
from tests.parts.counting_by_hand import typed as typed_counts
from tests.parts.pages_by_hand import said, sent, typed, words_of

DAMAGED = {"part_number": "T1-110", "quantity": "1", "reason": "damaged", "sent_on": DAY.isoformat()}


def address(order: KitOrder) -> str:
    return reverse("parts:returns", args=[order.number])


@pytest.fixture
def came(clerk: Person, order: KitOrder) -> tuple[Client, KitOrder]:
    """One sleeve damaged, one wrong; two bolts too many; a sticker that is not in the kit."""
    with time_machine.travel(NOON, tick=False):
        counter = Client()
        counter.force_login(clerk)
        page = counter.get(sheet(order))
        fields = typed_counts(
            page,
            T1_100=1,
            T1_110={"counted": 2, "damaged": 1, "wrong": 1},
            T1_200={"counted": 10, "over_confirmed": "on"},
        )
        extra = {"extra1-part_number": "X-9", "extra1-counted": "1", "extra1-note": "Sticker"}
        assert counter.post(sheet(order), fields | extra).status_code == 302
        yield counter, order


def test_the_page_lists_what_is_here_to_go_back(came: tuple[Client, KitOrder]) -> None:
    counter, order = came
    page = counter.get(address(order)).content.decode()
    for words in (
        "1 of T1-110 Sleeve ½ in: damaged",
        "1 of T1-110 Sleeve ½ in: wrong part",
        "2 of T1-200 Bolt, hex, ",
        "flanged: more than ordered",
        "1 of X-9 Sticker: not in the kit",
    ):
        assert words in page
    chosen = counter.get(address(order), {"part_number": "T1-200", "quantity": "2", "reason": "over"})
    assert chosen.context["form"]["reason"].value() == "over"


@pytest.mark.parametrize(
    ("changed", "words", "short"),
    [
        ({}, "1 damaged, sent back", 2),
        ({"reason": "wrong"}, "1 wrong, sent back", 2),
        ({"reason": "defective", "quantity": "2"}, "2 sent back", 4),
    ],
)
def test_what_goes_back_is_no_longer_here(
    came: tuple[Client, KitOrder], changed: dict[str, str], words: str, short: int
) -> None:
    counter, order = came
    page = words_of(counter, sent(counter, address(order), **DAMAGED | changed | {"reference": "RMA-7"}))
    assert "return number RMA-7" in page
    line = reconcile(order).lines[1]
    assert line.short == short
    assert words in line_words(line)
    assert verify_record().is_whole


def test_too_many_and_unlisted_parts_go_back(came: tuple[Client, KitOrder]) -> None:
    counter, order = came
    for fields in (
        {"part_number": "T1-200", "quantity": "2", "reason": "over"},
        {"part_number": "X-9", "quantity": "1", "reason": "unlisted"},
    ):
        assert sent(counter, address(order), **DAMAGED | fields).status_code == 302
    standing = reconcile(order)
    assert (standing.lines[2].here, standing.lines[2].over) == (8, 0)
    assert standing.unlisted[0].here == 0
    assert "more than ordered</" not in counter.get(address(order)).content.decode().split("<form")[0]


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"quantity": "2"}, "quantity", "Only 1 piece is here to go back as: damaged."),
        ({"quantity": "0"}, "quantity", "Only 1 piece"),
        ({"reason": "over"}, "quantity", "No piece of T1-110 is here to go back as: more than ordered."),
        ({"part_number": "X-9"}, "quantity", "No piece of X-9"),
        ({"part_number": "Z-1"}, "part_number", "did not come with this order"),
        ({"reason": ""}, "reason", "required"),
        ({"reason": "tired"}, "reason", "valid choice"),
        ({"sent_on": "2030-05-01"}, "sent_on", "has not come yet"),
        ({"sent_on": "2030-01-01"}, "sent_on", "before the order"),
        ({"sent_on": "soon"}, "sent_on", "valid date"),
        ({"reference": "r" * 61}, "reference", "at most 60"),
    ],
)
def test_bad_input_is_told_in_place_and_kept(
    came: tuple[Client, KitOrder], changed: dict[str, str], field: str, words: str
) -> None:
    counter, order = came
    answer = sent(counter, address(order), **DAMAGED | changed)
    assert answer.status_code in (409, 422)
    assert words in said(answer, field)
    assert answer.context["form"]["part_number"].value() == (DAMAGED | changed)["part_number"]  # type: ignore[attr-defined]
    assert not PartReturn.objects.exists()


def test_sent_twice_goes_back_once_and_two_people_are_told(came: tuple[Client, KitOrder]) -> None:
    counter, order = came
    said_by = (DAMAGED, DAMAGED | {"reference": "R-2"})
    first, second = (typed(counter.get(address(order)), **each) for each in said_by)
    assert {counter.post(address(order), first).status_code for _ in range(2)} == {302}
    assert PartReturn.objects.count() == 1
    answer = counter.post(address(order), second)
    assert answer.status_code == 409
    assert "recorded 1 of T1-110 sent back" in answer.content.decode()


def test_whoever_only_looks_may_not(looker: Client, order: KitOrder) -> None:
    assert looker.get(address(order)).status_code == 403

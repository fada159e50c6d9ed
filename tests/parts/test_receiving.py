"""A delivery goes in once, adds up, and says what is still short."""

import datetime as dt
import re
from uuid import UUID, uuid4

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from parts.counts import MOST_PIECES, CountError, read_count
from parts.deliveries import CountedPart, Delivery
from parts.kit_files import bring_in_kit
from parts.models import KitOrder, Receipt, ReceiptLine
from parts.ordering import open_order
from parts.receiving import last_seen, receive
from parts.reconciling import reconcile
from parts.slip_files import bring_in_slip
from parts.standing import OrderState
from shop.entries import OTHER_CONTENT, Answer
from shop.models import Entry, Outcome, Person
from shop.verification import verify_record
from tests.factories import DAY, NOON, PersonFactory
from tests.parts.kit_texts import KIT, SLIP


def new_order(clerk: Person) -> KitOrder:
    revision = bring_in_kit(KIT, by=clerk, now=NOON, release=True)
    return open_order(
        number="K-0001", kit_revision=revision, ordered_on=DAY, expected_on=None, by=clerk, now=NOON
    )


@pytest.fixture
def order(db: None) -> KitOrder:
    return new_order(PersonFactory(role="parts_clerk"))


def count(
    order: KitOrder,
    *parts: CountedPart,
    slip: str = "",
    entry_id: UUID | None = None,
    saw: UUID | str | None = "last",
) -> Answer:
    return receive(
        order=order,
        delivery=Delivery(slip, parts),
        entry_id=entry_id or uuid4(),
        saw=last_seen(order) if saw == "last" else saw,  # type: ignore[arg-type]
        signer=Person.objects.get(role="parts_clerk"),
        signed_how="desk",
        now=NOON,
    )


def test_what_came_is_recorded_and_what_is_short_is_told(order: KitOrder) -> None:
    bring_in_slip(SLIP, by=Person.objects.get(role="parts_clerk"), now=NOON)
    answer = count(
        order,
        CountedPart("T1-100", 1),
        CountedPart("T1-110", 1, damaged=1, note="bent"),
        CountedPart("T1-201", 8),
        CountedPart("X-9", 1, is_unlisted=True),
        slip="PS-77",
    )
    assert answer.accepted
    assert answer.data["is_counted"] is True
    assert answer.data["short"] == [
        {"part_number": "T1-110", "short": 3, "operation": "D30", "critical": True}
    ]
    receipt = Receipt.objects.get(pk=answer.data["receipt"])
    assert receipt.slip is not None
    assert receipt.slip.number == "PS-77"
    assert verify_record().is_whole


def test_a_substitute_counts_for_the_part_it_stands_in_for(order: KitOrder) -> None:
    count(order, CountedPart("T1-202", 5), CountedPart("T1-200", 3))
    assert reconcile(order).lines[2].short == 0


def test_later_receipts_add_up_and_clear_the_shortage(order: KitOrder) -> None:
    count(order, CountedPart("T1-100", 1), CountedPart("T1-110", 1), CountedPart("T1-200", 8))
    assert reconcile(order).state == OrderState.SHORT
    answer = count(order, CountedPart("T1-110", 3))
    assert answer.data["short"] == []
    assert reconcile(order).state == OrderState.COMPLETE


def test_more_than_ordered_is_confirmed_first(order: KitOrder) -> None:
    refused = count(order, CountedPart("T1-110", 5))
    assert refused.outcome == Outcome.REFUSED
    assert refused.data["fields"] == {"T1-110": {"over": "5 counted, but 4 ordered."}}
    assert not Receipt.objects.exists()
    assert count(order, CountedPart("T1-110", 5, over_confirmed=True)).accepted
    assert reconcile(order).lines[1].over == 1


def test_more_than_ordered_over_two_receipts(order: KitOrder) -> None:
    count(order, CountedPart("T1-110", 3))
    refused = count(order, CountedPart("T1-110", 2))
    assert refused.data["fields"]["T1-110"]["over"].startswith("With the 3 counted before that makes 5")


def test_more_than_ordered_by_part_and_substitute_together(order: KitOrder) -> None:
    refused = count(order, CountedPart("T1-110", 3), CountedPart("T1-111", 2))
    assert list(refused.data["fields"]) == ["T1-111"]


def test_a_part_that_is_not_in_the_kit_must_be_said_to_be_so(order: KitOrder) -> None:
    refused = count(order, CountedPart("X-1", 1))
    assert "not in the kit" in refused.data["fields"]["X-1"]["part_number"]
    assert count(order, CountedPart("X-1", 1, is_unlisted=True, note="loose washer")).accepted
    assert reconcile(order).unlisted[0].description == "loose washer"


def test_a_part_of_the_kit_is_not_unlisted(order: KitOrder) -> None:
    refused = count(order, CountedPart("T1-111", 1, is_unlisted=True))
    assert "on the line of T1-110" in refused.data["fields"]["T1-111"]["part_number"]


def test_a_part_counted_twice_in_one_delivery(order: KitOrder) -> None:
    refused = count(order, CountedPart("T1-110", 1), CountedPart("T1-110", 1))
    assert "there twice" in refused.data["fields"]["T1-110"]["part_number"]


def test_nothing_counted_and_a_slip_of_another_order(order: KitOrder) -> None:
    assert "Nothing was counted" in count(order).data["message"]
    assert "not of kit order" in count(order, CountedPart("T1-100", 1), slip="PS-9").data["message"]


def test_the_same_entry_twice_is_recorded_once(order: KitOrder) -> None:
    entry_id = uuid4()
    first = count(order, CountedPart("T1-110", 3), entry_id=entry_id, saw=None)
    again = count(order, CountedPart("T1-110", 3), entry_id=entry_id, saw=None)
    assert (first.repeated, again.repeated) == (False, True)
    assert again.data == first.data
    assert ReceiptLine.objects.count() == 1
    other = count(order, CountedPart("T1-110", 2), entry_id=entry_id, saw=None)
    assert other.outcome == OTHER_CONTENT
    assert ReceiptLine.objects.get().counted == 3


def test_two_people_counting_at_once_are_told(order: KitOrder) -> None:
    count(order, CountedPart("T1-110", 3), saw=None)
    second = count(order, CountedPart("T1-110", 2), saw=None)
    assert second.outcome == Outcome.CONFLICT
    assert second.data["kept"]["parts"][0]["counted"] == 2
    assert reconcile(order).lines[1].counted == 3
    assert Entry.objects.filter(outcome=Outcome.ACCEPTED).count() == 1


@pytest.mark.parametrize("pieces", [-1, MOST_PIECES + 1, 10**400, 1.5, float("nan"), True, "3"])
def test_no_impossible_number_gets_into_a_delivery(pieces: int) -> None:
    for field in ("counted", "damaged", "wrong"):
        with pytest.raises(CountError):
            CountedPart("T1-100", **{"counted": 0, field: pieces})  # type: ignore[arg-type]


@pytest.mark.parametrize("part_number", ["", "P" * 41])
def test_no_impossible_part_number_gets_into_a_delivery(part_number: str) -> None:
    with pytest.raises(CountError):
        CountedPart(part_number, 1)


def test_no_endless_note_gets_into_a_delivery() -> None:
    with pytest.raises(CountError):
        CountedPart("T1-100", 1, note="n" * 201)


@given(st.integers(0, MOST_PIECES))
def test_read_count_inverts(pieces: int) -> None:
    assert read_count(f" {pieces} ") == pieces


@given(st.text() | st.from_regex(r"[-+ ]?[0-9]{1,7}[.,]?[0-9]?", fullmatch=True))
def test_read_count_never_guesses(text: str) -> None:
    is_count = re.fullmatch("[0-9]+", text.strip()) and int(text) <= MOST_PIECES
    if is_count:
        assert read_count(text) == int(text)
    else:
        with pytest.raises(CountError):
            read_count(text)


class AnyDeliveries(TestCase):
    """Through the door, with the database: whatever comes in whichever order."""

    @settings(max_examples=15, deadline=dt.timedelta(seconds=5))
    @given(
        st.lists(
            st.tuples(
                st.sampled_from(["T1-100", "T1-110", "T1-200", "T1-201"]), st.integers(0, 9), st.booleans()
            ),
            min_size=1,
            max_size=6,
        )
    )
    def test_what_was_accepted_adds_up(self, deliveries: list[tuple[str, int, bool]]) -> None:
        order = new_order(PersonFactory(role="parts_clerk"))
        good = 0
        for part_number, pieces, sure in deliveries:
            entry_id, saw = uuid4(), last_seen(order)
            part = CountedPart(part_number, pieces, over_confirmed=sure)
            answers = [count(order, part, entry_id=entry_id, saw=saw) for _ in range(2)]
            assert answers[0].outcome == answers[1].outcome
            good += pieces if answers[0].accepted else 0
        standing = reconcile(order)
        assert sum(line.counted for line in standing.lines) == good
        assert all(line.short + line.counted >= line.ordered for line in standing.lines)
        assert verify_record().is_whole

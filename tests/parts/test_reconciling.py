"""Ordered, slipped and counted, compared."""

import datetime as dt
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import given
from hypothesis import strategies as st

from parts.models import KitOrder, ReceiptLine, ReturnReason
from parts.reconciling import (
    BOUGHT,
    LineFact,
    MovementFact,
    OrderFacts,
    ReceiptFact,
    SlipFact,
    reconcile,
    reconcile_many,
    standing_of,
)
from parts.standing import Kind, LineStanding, OrderStanding, OrderState
from tests.factories import (
    DAY,
    ExpectationFactory,
    KitLineFactory,
    KitOrderFactory,
    PackingSlipFactory,
    ReceiptFactory,
    ReceiptLineFactory,
    RecountFactory,
    SlipLineFactory,
)

SOON = DAY + dt.timedelta(days=5)
LATER = DAY + dt.timedelta(days=12)


def ordered(pk: int = 1, pieces: int = 4, **changed: Any) -> LineFact:
    facts = {"side": "", "operation": "A10", "is_critical": False, **changed}
    return LineFact(kit_line_id=pk, part_number=f"P-{pk}", description="Sleeve", ordered=pieces, **facts)


def slipped(
    pieces: int, back: int = 0, *, pk: int | None = 1, slip: int = 1, eta: dt.date | None = None
) -> SlipFact:
    return SlipFact(slip, pk, f"P-{pk}" if pk else "X-9", "Sticker", pieces, back, eta)


def counted(
    good: int, *, pk: int | None = 1, slip: int | None = 1, damaged: int = 0, wrong: int = 0
) -> ReceiptFact:
    return ReceiptFact(slip, pk, f"P-{pk}" if pk else "X-9", "", good, damaged, wrong)


def standing(
    *facts: LineFact | SlipFact | ReceiptFact, told: dict[int, dt.date] | None = None
) -> OrderStanding:
    return standing_of(
        OrderFacts(
            number="K-0001",
            lines=[fact for fact in facts if isinstance(fact, LineFact)],
            slipped=[fact for fact in facts if isinstance(fact, SlipFact)],
            received=[fact for fact in facts if isinstance(fact, ReceiptFact)],
            told=told or {},
        )
    )


def line(*facts: LineFact | SlipFact | ReceiptFact, told: dict[int, dt.date] | None = None) -> LineStanding:
    return standing(ordered(), *facts, told=told).lines[0]


@pytest.mark.parametrize(
    ("facts", "short", "kinds"),
    [
        ([], 4, [Kind.NOT_YET_SLIPPED]),
        ([slipped(4)], 4, [Kind.NOT_YET_COUNTED]),
        ([slipped(4), counted(4)], 0, []),
        ([slipped(4), counted(3)], 1, [Kind.SHORT_OF_SLIP]),
        ([slipped(2, 2), counted(2)], 2, [Kind.BACKORDERED]),
        ([slipped(2, 1), counted(2)], 2, [Kind.BACKORDERED, Kind.NOT_YET_SLIPPED]),
        ([slipped(2), counted(2)], 2, [Kind.NOT_YET_SLIPPED]),
        ([slipped(2, 2), counted(1)], 3, [Kind.SHORT_OF_SLIP, Kind.BACKORDERED]),
        ([slipped(4), counted(3, damaged=1)], 1, [Kind.DAMAGED]),
        ([slipped(4), counted(0, wrong=4)], 4, [Kind.WRONG]),
        ([slipped(4), counted(2, damaged=1)], 2, [Kind.SHORT_OF_SLIP, Kind.DAMAGED]),
        ([slipped(4), counted(6)], 0, [Kind.OVER]),
        ([counted(3, slip=None)], 1, [Kind.NOT_YET_SLIPPED]),
        ([counted(4, slip=None, damaged=1)], 0, [Kind.DAMAGED]),
        ([slipped(2, 2), counted(2), slipped(2, slip=2)], 2, [Kind.NOT_YET_COUNTED]),
        ([slipped(2, 2), counted(2), slipped(1, 1, slip=2), counted(1, slip=2)], 1, [Kind.BACKORDERED]),
        ([slipped(2, 2), counted(2), slipped(2, slip=2), counted(2, slip=2)], 0, []),
    ],
)
def test_every_kind_of_shortage(facts: list[Any], short: int, kinds: list[Kind]) -> None:
    found = line(*facts)
    assert (found.short, list(found.kinds)) == (short, kinds)


def test_over_says_by_how_many() -> None:
    assert line(counted(6)).over == 2
    assert line(counted(4)).over == 0


def test_a_later_receipt_clears_the_shortage() -> None:
    first = standing(ordered(), slipped(4), counted(1))
    second = standing(ordered(), slipped(4), counted(1), counted(3, slip=None))
    assert (first.state, second.state) == (OrderState.SHORT, OrderState.COMPLETE)
    assert not second.shortages


def test_the_eta_is_what_was_told_last_else_the_slips() -> None:
    assert line(slipped(2, 2, eta=SOON), counted(2)).eta == SOON
    assert line(slipped(2, 2, eta=SOON), counted(2), told={1: LATER}).eta == LATER
    assert line(slipped(4, eta=SOON), counted(2)).eta is None
    assert line(slipped(2, 2, eta=SOON), counted(4), told={1: LATER}).eta is None
    assert line(slipped(2, 2, eta=SOON), slipped(1, 1, slip=2, eta=LATER)).eta == LATER


def test_a_day_for_one_backordered_piece_is_none_for_another_that_is_short_of_the_slip() -> None:
    """Else a car would be taken off its wheels for a part of which nobody knows anything."""
    assert line(slipped(3, 1, eta=SOON), counted(2)).eta is None
    assert line(slipped(3, 1, eta=SOON), counted(2, damaged=1)).eta is None
    assert line(slipped(3, 1, eta=SOON), counted(2), told={1: LATER}).eta == LATER
    assert line(slipped(3, 1, eta=SOON), counted(3)).eta == SOON


def test_shortages_are_found_by_operation_and_by_weight() -> None:
    found = standing(
        ordered(1, operation="D30", is_critical=True),
        ordered(2, operation="A10"),
        ordered(3, operation="A10", is_critical=True),
        counted(4, pk=3),
    )
    assert [one.part_number for one in found.shortages] == ["P-1", "P-2"]
    assert [one.part_number for one in found.critical_shortages] == ["P-1"]
    assert [one.part_number for one in found.shortages_for(["A10", "A20"])] == ["P-2"]
    assert [one.part_number for one in found.without_eta] == ["P-1", "P-2"]


def test_parts_that_are_not_in_the_kit() -> None:
    found = standing(ordered(), slipped(1, pk=None), counted(2, pk=None, wrong=1), counted(4))
    assert [(part.part_number, part.description, part.slipped, part.counted) for part in found.unlisted] == [
        ("X-9", "Sticker", 1, 3)
    ]
    assert found.unlisted[0].kinds == (Kind.UNLISTED,)
    assert found.state == OrderState.COMPLETE


def test_a_kit_is_counted_when_every_line_of_a_slip_was() -> None:
    kit = [ordered(1), ordered(2), slipped(4, pk=1), slipped(4, pk=2)]
    assert not standing(*kit).is_counted
    assert not standing(*kit, counted(4, pk=1)).is_counted
    assert not standing(*kit, counted(4, pk=1), counted(4, slip=None)).is_counted
    assert standing(*kit, counted(4, pk=1), counted(0, pk=2)).is_counted


def test_without_a_slip_every_line_of_the_kit_is_to_be_counted() -> None:
    assert not standing(ordered(1), ordered(2), counted(4, pk=1, slip=None)).is_counted
    assert standing(
        ordered(1), ordered(2), counted(4, pk=1, slip=None), counted(0, pk=2, slip=None)
    ).is_counted


def test_lines_that_differ_without_being_short() -> None:
    found = standing(
        ordered(1), ordered(2), ordered(3), counted(5, pk=1), counted(4, pk=2, damaged=1), counted(4, pk=3)
    )
    assert [one.part_number for one in found.differing] == ["P-1", "P-2"]


PIECES = st.integers(0, 9)
RECEIPTS = st.lists(
    st.builds(
        counted,
        PIECES,
        pk=st.sampled_from([1, 2, 3, None]),
        slip=st.sampled_from([1, 2, None]),
        damaged=PIECES,
        wrong=PIECES,
    ),
    max_size=8,
)
SLIPS = st.lists(st.builds(slipped, PIECES, PIECES, pk=st.sampled_from([1, 2, 3, None])), max_size=4)
KIT = [ordered(1, 4), ordered(2, 1, is_critical=True), ordered(3, 8)]


@given(RECEIPTS, SLIPS, st.randoms(use_true_random=False))
def test_receipts_in_any_order_leave_the_same_standing(
    received: list[ReceiptFact], sent: list[SlipFact], chance: Any
) -> None:
    shuffled = [*received]
    chance.shuffle(shuffled)
    assert standing(*KIT, *sent, *received) == standing(*KIT, *sent, *shuffled)


@given(RECEIPTS, SLIPS)
def test_short_and_good_are_never_below_what_was_ordered(
    received: list[ReceiptFact], sent: list[SlipFact]
) -> None:
    for one in standing(*KIT, *sent, *received).lines:
        assert one.short + one.counted == one.ordered + one.over
        assert one.short >= 0
        assert not (one.short and one.over)


@given(RECEIPTS, SLIPS)
def test_nothing_is_short_without_a_word_why(received: list[ReceiptFact], sent: list[SlipFact]) -> None:
    for one in standing(*KIT, *sent, *received).shortages:
        assert one.kinds


@given(RECEIPTS, RECEIPTS)
def test_a_further_receipt_never_makes_a_shortage_larger(
    first: list[ReceiptFact], more: list[ReceiptFact]
) -> None:
    before, after = standing(*KIT, *first), standing(*KIT, *first, *more)
    for old, new in zip(before.lines, after.lines, strict=True):
        assert new.short <= old.short


def order_with_a_receipt() -> KitOrder:
    order = KitOrderFactory()
    lines = [KitLineFactory(revision=order.kit_revision, position=at) for at in range(1, 4)]
    slip = PackingSlipFactory(order=order)
    receipt = ReceiptFactory(order=order, slip=slip)
    for kit_line in lines:
        SlipLineFactory(slip=slip, kit_line=kit_line)
    for kit_line in lines[:2]:
        ReceiptLineFactory(receipt=receipt, kit_line=kit_line)
    ExpectationFactory(order=order, kit_line=lines[2], eta=SOON)
    ExpectationFactory(order=order, kit_line=lines[2], eta=LATER)
    return order


def test_facts_of_one_order_are_its_own(db: None) -> None:
    order, other = order_with_a_receipt(), KitOrderFactory()
    KitLineFactory(revision=other.kit_revision)
    found = reconcile(order)
    assert [one.short for one in found.lines] == [0, 0, 4]
    assert found.lines[2].eta == LATER
    assert reconcile(other).state == OrderState.EXPECTED


def test_orders_of_the_same_kit_are_told_apart(db: None) -> None:
    order = order_with_a_receipt()
    twin = KitOrderFactory(kit_revision=order.kit_revision)
    found = reconcile_many([order, twin])
    assert [one.short for one in found[order.pk].lines] == [0, 0, 4]
    assert [one.short for one in found[twin.pk].lines] == [4, 4, 4]


def test_queries_do_not_grow_with_orders(db: None) -> None:
    orders = [order_with_a_receipt()]
    with CaptureQueriesContext(connection) as one:
        reconcile_many(orders)
    orders += [order_with_a_receipt() for _ in range(6)]
    with CaptureQueriesContext(connection) as many:
        reconcile_many(orders)
    assert len(one) == len(many) == 5


MOVED = st.lists(
    st.builds(
        MovementFact,
        kit_line_id=st.sampled_from([1, 2, 3]),
        part_number=st.just("P"),
        how=st.sampled_from([BOUGHT, *ReturnReason.values]),
        pieces=PIECES,
    ),
    max_size=6,
)


@given(RECEIPTS, SLIPS, MOVED)
def test_what_is_bought_and_sent_back_keeps_the_sum(
    received: list[ReceiptFact], sent: list[SlipFact], moved: list[MovementFact]
) -> None:
    facts = OrderFacts("K-0001", [*KIT], sent, received, moved=moved)
    for one in standing_of(facts).lines:
        assert one.here == one.delivered + one.bought
        assert one.short == max(0, one.ordered - one.here)
        assert not (one.short and not one.kinds)
        assert one.here <= one.counted + one.bought


def test_the_newest_recount_holds_without_a_query_of_its_own(db: None) -> None:
    order = order_with_a_receipt()
    line = ReceiptLine.objects.first()
    for counted_again in (1, 2, 3):
        RecountFactory(receipt_line=line, counted=counted_again)
    with CaptureQueriesContext(connection) as queries:
        found = reconcile(order)
    assert found.lines[0].counted == 3
    assert len(queries) == 5

"""A date for what is short, as somebody was told."""

import datetime as dt
from uuid import UUID, uuid4

import pytest

from parts.expecting import expect
from parts.models import Expectation, KitOrder
from parts.receiving import last_seen
from parts.reconciling import reconcile
from shop.entries import Answer
from shop.models import Outcome
from shop.verification import verify_record
from tests.factories import (
    DAY,
    NOON,
    KitLineFactory,
    KitOrderFactory,
    PersonFactory,
    ReceiptFactory,
    ReceiptLineFactory,
)


@pytest.fixture
def order(db: None) -> KitOrder:
    order = KitOrderFactory()
    KitLineFactory(revision=order.kit_revision, part_number="P-1", quantity=4)
    return order


def tell(order: KitOrder, part: str = "P-1", days: int = 7, entry_id: UUID | None = None) -> Answer:
    return expect(
        order=order,
        part_number=part,
        eta=DAY + dt.timedelta(days=days),
        note="told at the counter",
        entry_id=entry_id or uuid4(),
        saw=last_seen(order),
        signer=PersonFactory(role="parts_clerk"),
        signed_how="desk",
        now=NOON,
    )


def test_the_newest_word_counts(order: KitOrder) -> None:
    assert tell(order, days=7).accepted
    assert tell(order, days=3).accepted
    assert reconcile(order).lines[0].eta == DAY + dt.timedelta(days=3)
    assert Expectation.objects.count() == 2
    assert verify_record().is_whole


def test_today_will_do_and_yesterday_will_not(order: KitOrder) -> None:
    assert tell(order, days=0).accepted
    refused = tell(order, days=-1)
    assert refused.outcome == Outcome.REFUSED
    assert "That day is over" in refused.data["message"]


def test_a_part_that_is_not_in_the_kit(order: KitOrder) -> None:
    assert "not in the kit" in tell(order, part="P-9").data["message"]


def test_a_part_that_is_all_here(order: KitOrder) -> None:
    receipt = ReceiptFactory(order=order)
    ReceiptLineFactory(receipt=receipt, kit_line=order.kit_revision.lines.get(), counted=4)
    assert "not short" in tell(order).data["message"]

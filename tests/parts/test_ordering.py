"""A kit order is opened once, on a released revision."""

import datetime as dt

import pytest

from parts.models import KitOrder, KitRevision
from parts.ordering import OrderError, next_number, open_order
from shop.models import Event
from shop.revisions import RevisionState
from tests.factories import DAY, NOON, KitOrderFactory, KitRevisionFactory, PersonFactory


def opened(revision: KitRevision, number: str = "K-0001", expected_on: dt.date | None = None) -> KitOrder:
    return open_order(
        number=number,
        kit_revision=revision,
        ordered_on=DAY,
        expected_on=expected_on,
        by=PersonFactory(),
        now=NOON,
    )


def test_an_order_is_opened_with_an_event(db: None) -> None:
    order = opened(KitRevisionFactory(), expected_on=DAY)
    assert order.expected_on == DAY
    assert Event.objects.get().stream == "order/K-0001"


@pytest.mark.parametrize("number", ["K-0001", "k-0001"])
def test_a_number_is_used_once(db: None, number: str) -> None:
    revision = KitRevisionFactory()
    opened(revision)
    with pytest.raises(OrderError, match="already") as caught:
        opened(revision, number=number)
    assert caught.value.field == "number"


@pytest.mark.parametrize("state", [RevisionState.DRAFT, RevisionState.SUPERSEDED])
def test_only_what_is_released_is_ordered(db: None, state: str) -> None:
    with pytest.raises(OrderError, match="released"):
        opened(KitRevisionFactory(state=state))
    assert not KitOrder.objects.exists()


def test_not_expected_before_it_was_ordered(db: None) -> None:
    with pytest.raises(OrderError, match="before it was ordered"):
        opened(KitRevisionFactory(), expected_on=DAY - dt.timedelta(days=1))


@pytest.mark.parametrize(
    ("used", "proposed"),
    [([], "K-0001"), (["K-0009"], "K-0010"), (["K-0002", "K-0011", "odd"], "K-0012"), (["odd"], "K-0001")],
)
def test_the_next_number_follows_the_highest(db: None, used: list[str], proposed: str) -> None:
    for number in used:
        KitOrderFactory(number=number)
    assert next_number() == proposed

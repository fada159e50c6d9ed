"""The same slip counted twice: told before anything is typed, asked about before anything is recorded."""

import pytest
from django.test import Client

from parts.models import KitOrder, PackingSlip, Receipt
from parts.reconciling import reconcile
from parts.slip_files import bring_in_slip
from shop.models import Person
from tests.factories import NOON
from tests.parts.counting_by_hand import address, counted, errors, typed
from tests.parts.kit_texts import SLIP


@pytest.fixture
def slip(order: KitOrder, clerk: Person) -> PackingSlip:
    return bring_in_slip(SLIP, by=clerk, now=NOON)


def test_the_same_slip_counted_twice_is_told_before_and_asked_about(
    counter: Client, order: KitOrder, slip: PackingSlip
) -> None:
    counted(counter, order, "PS-77", T1_100=1, T1_110=2)
    page = counter.get(address(order, "PS-77")).content.decode()
    assert "PS-77 was counted already" in page
    assert "by Clerk of the Test Shop. What you record here is added to it" in page
    answer = counted(counter, order, "PS-77", T1_110=2)
    assert answer.status_code == 422
    assert "T1-110 Counted against PS-77 already: 2 on" in errors(answer)
    assert reconcile(order).lines[1].counted == 2
    assert "Yes, these came beside them" in answer.content.decode()
    again = typed(answer, T1_110={"counted": 2, "more_came": "on"})
    assert counter.post(address(order, "PS-77"), again).status_code == 302
    assert reconcile(order).lines[1].counted == 4


def test_a_slip_counted_twice_is_asked_about_before_it_is_too_many(
    counter: Client, order: KitOrder, slip: PackingSlip
) -> None:
    counted(counter, order, "PS-77", T1_100=1)
    answer = counted(counter, order, "PS-77", T1_100=1)
    assert "T1-100 Counted against PS-77 already: 1 on" in errors(answer)
    assert "With the 1 counted before that makes 2, but 1 were ordered." in errors(answer)
    both = {"counted": 1, "more_came": "on", "over_confirmed": "on"}
    assert counter.post(address(order, "PS-77"), typed(answer, T1_100=both)).status_code == 302


def test_the_rest_of_a_slip_is_counted_without_a_question(
    counter: Client, order: KitOrder, slip: PackingSlip
) -> None:
    counted(counter, order, "PS-77", T1_100=1, T1_110=0)
    assert counted(counter, order, "PS-77", T1_110=2, T1_201=8).status_code == 302
    assert Receipt.objects.count() == 2

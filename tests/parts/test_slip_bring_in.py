"""A packing slip is brought in at the counter, once."""

from django.test import Client
from django.urls import reverse

from parts.models import KitOrder, PackingSlip
from tests.parts.kit_texts import SLIP

SLIP_PAGE = reverse("parts:slip_bring_in")


def test_a_slip_is_brought_in_once(counter: Client, order: KitOrder) -> None:
    answer = counter.post(SLIP_PAGE, {"text": SLIP.decode()}, follow=True)
    assert "Packing slip PS-77 of K-0001 was brought in." in answer.content.decode()
    again = counter.post(SLIP_PAGE, {"text": SLIP.decode()})
    assert again.status_code == 422
    assert "is here already, with the same lines" in again.content.decode()
    assert "K-0001,PS-77,Invented Freight" in again.content.decode()
    assert PackingSlip.objects.count() == 1


def test_what_is_wrong_is_listed_and_what_was_pasted_kept(counter: Client, order: KitOrder) -> None:
    wrong = SLIP.replace(b",2,2,2030-04-24", b",some,2,24.4.2030").decode()
    answer = counter.post(SLIP_PAGE, {"text": wrong})
    assert answer.status_code == 422
    text = answer.content.decode()
    assert "line 3, slipped: Type a whole number of pieces" in text
    assert "line 3, eta: Write the date as year-month-day" in text
    assert "T1-110,Sleeve,some,2,24.4.2030" in text
    assert not PackingSlip.objects.exists()


def test_an_order_that_is_not_there(counter: Client) -> None:
    answer = counter.post(SLIP_PAGE, {"text": SLIP.decode()})
    assert "order: There is no kit order K-0001 here." in answer.content.decode()


def test_whoever_only_looks_may_not(looker: Client, order: KitOrder) -> None:
    assert looker.get(SLIP_PAGE).status_code == 403
    assert looker.post(SLIP_PAGE, {"text": SLIP.decode()}).status_code == 403
    assert not PackingSlip.objects.exists()

"""What a delivery told: what is short, in words, and what was counted."""

from django.test import Client
from django.urls import reverse

from parts.models import KitOrder, Receipt
from tests.factories import KitOrderFactory
from tests.parts.counting_by_hand import counted


def page(client: Client, order: KitOrder) -> str:
    answer = client.get(reverse("parts:receipt", args=[order.number, Receipt.objects.latest("pk").pk]))
    assert answer.status_code == 200
    return answer.content.decode()


def test_what_is_short_and_who_needs_it_first(counter: Client, looker: Client, order: KitOrder) -> None:
    counted(counter, order, T1_100=1, T1_110=1, T1_200={"counted": 7, "damaged": 1, "note": "thread"})
    text = page(looker, order)
    assert "2 parts are short" in text
    assert "T1-110 Sleeve ½ in: 3 of 4 missing, first needed at D30; nobody has said when it comes." in text
    assert "1 of the missing parts is critical." in text
    assert "by Clerk of the Test Shop" in text
    assert "thread" in text


def test_the_clerk_is_led_on_to_say_when(counter: Client, looker: Client, order: KitOrder) -> None:
    counted(counter, order, T1_100=0)
    at = reverse("parts:expect", args=[order.number, order.kit_revision.lines.get(part_number="T1-100").pk])
    assert at in page(counter, order)
    assert at not in page(looker, order)


def test_all_is_here(counter: Client, order: KitOrder) -> None:
    counted(counter, order, T1_100=1, T1_110=4, T1_200=8)
    assert "All that was ordered is here" in page(counter, order)


def test_counting_that_has_only_begun_says_so(counter: Client, order: KitOrder) -> None:
    counted(counter, order, T1_100=1)
    assert "Not every line has been counted yet." in page(counter, order)


def test_a_receipt_belongs_to_its_order(counter: Client, order: KitOrder) -> None:
    counted(counter, order, T1_100=1)
    other = KitOrderFactory(kit_revision=order.kit_revision)
    at = reverse("parts:receipt", args=[other.number, Receipt.objects.get().pk])
    assert counter.get(at).status_code == 404

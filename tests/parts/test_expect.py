"""Saying at the counter when a missing part is to come."""

import datetime as dt

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from parts.models import Expectation, KitOrder
from parts.reconciling import reconcile
from shop.days import day_words
from tests.factories import ReceiptFactory, ReceiptLineFactory


def address(order: KitOrder) -> str:
    line = order.kit_revision.lines.get(part_number="T1-110")
    return reverse("parts:expect", args=[order.number, line.pk])


def typed(counter: Client, order: KitOrder, **changed: str) -> dict[str, str]:
    initial = counter.get(address(order)).context["form"].initial
    later = timezone.localdate() + dt.timedelta(days=9)
    fields = {
        "entry_id": str(initial["entry_id"]),
        "saw": str(initial["saw"] or ""),
        "eta": later.isoformat(),
    }
    return fields | {"note": "Claim 17", "entered_at": ""} | changed


def test_a_date_is_recorded_once(counter: Client, order: KitOrder) -> None:
    assert "4 of 4 missing, first needed at D30" in counter.get(address(order)).content.decode()
    fields = typed(counter, order)
    for _ in range(2):
        assert counter.post(address(order), fields)["Location"] == reverse("parts:order", args=["K-0001"])
    assert Expectation.objects.get().note == "Claim 17"
    assert reconcile(order).lines[1].eta == timezone.localdate() + dt.timedelta(days=9)


@pytest.mark.parametrize(
    ("eta", "status", "words"),
    [("", 422, "required"), ("soon", 422, "valid date"), ("2001-01-01", 409, "That day is over")],
)
def test_a_bad_date_stays_on_the_page(
    counter: Client, order: KitOrder, eta: str, status: int, words: str
) -> None:
    fields = typed(counter, order, eta=eta)
    answer = counter.post(address(order), fields)
    assert answer.status_code == status
    assert words in " ".join(answer.context["form"].errors["eta"])
    assert answer.context["form"]["note"].value() == "Claim 17"
    assert not Expectation.objects.exists()


def test_a_refused_date_can_be_put_right(counter: Client, order: KitOrder) -> None:
    answer = counter.post(address(order), typed(counter, order, eta="2001-01-01"))
    again = typed(counter, order) | {"entry_id": str(answer.context["form"]["entry_id"].value())}
    assert counter.post(address(order), again).status_code == 302
    assert Expectation.objects.count() == 1


def test_what_somebody_else_recorded_meanwhile_is_told(counter: Client, order: KitOrder) -> None:
    first, second = typed(counter, order), typed(counter, order, note="Claim 18")
    counter.post(address(order), first)
    answer = counter.post(address(order), second)
    assert answer.status_code == 409
    assert "Meanwhile Clerk of the Test Shop recorded T1-110 expected on" in answer.content.decode()
    again = second | {name: answer.context["form"][name].value() for name in ("entry_id", "saw")}
    assert counter.post(address(order), again).status_code == 302
    assert Expectation.objects.order_by("pk").last().note == "Claim 18"


def test_the_same_form_with_another_date_is_told_apart(counter: Client, order: KitOrder) -> None:
    fields = typed(counter, order)
    counter.post(address(order), fields)
    other = timezone.localdate() + dt.timedelta(days=20)
    answer = counter.post(address(order), fields | {"eta": other.isoformat()})
    assert answer.status_code == 409
    text = answer.content.decode()
    assert "This form was recorded already" in text
    assert day_words(dt.date.fromisoformat(fields["eta"])) in text
    assert day_words(other) in text
    assert Expectation.objects.count() == 1


def test_a_part_that_is_all_here_needs_no_date(counter: Client, order: KitOrder) -> None:
    line = order.kit_revision.lines.get(part_number="T1-110")
    ReceiptLineFactory(receipt=ReceiptFactory(order=order), kit_line=line, counted=4)
    assert "T1-110 is all here." in counter.get(address(order), follow=True).content.decode()


def test_a_line_of_another_kit_is_not_found(counter: Client, order: KitOrder) -> None:
    assert counter.get(reverse("parts:expect", args=[order.number, 0])).status_code == 404


def test_whoever_only_looks_may_not(looker: Client, order: KitOrder) -> None:
    assert looker.get(address(order)).status_code == 403

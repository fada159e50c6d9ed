"""The carrier was told of the damage: when, by whom, by which number; shown with its deadline everywhere."""

import datetime as dt
from typing import Any

import pytest
import time_machine
from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse

from parts.models import CarrierNotice, KitOrder, Receipt
from shop.documents.asking import ask
from shop.documents.making import read_record
from shop.models import Event, Person
from shop.verification import verify_record
from tests.factories import NOON
from tests.parts.counting_by_hand import counted
from tests.parts.pages_by_hand import said, sent, words_of

CAME = dt.date(2030, 4, 15)


@pytest.fixture
def receipt(clerk: Person, counter: Client, order: KitOrder) -> Receipt:
    """A delivery of that Monday of which a sleeve came crushed: five days to tell the carrier."""
    with time_machine.travel(NOON, tick=False):
        counter.force_login(clerk)
        counted(counter, order, T1_110={"counted": "1", "damaged": "1"})
    return Receipt.objects.get()


def told_at(receipt: Receipt) -> str:
    return reverse("parts:carrier_told", args=[receipt.order.number, receipt.pk])


def tell(counter: Client, receipt: Receipt, *, days: int, on: dt.date, **more: Any) -> Any:
    """Record it that many days after the delivery came."""
    with time_machine.travel(NOON + dt.timedelta(days=days), tick=False):
        counter.force_login(Person.objects.get(role="parts_clerk"))
        by = Person.objects.get(role="parts_clerk").pk
        typed = {"told_by": by, "reference": "CL-88", "note": "Called the depot", **more}
        return sent(counter, told_at(receipt), told_on=str(on), **typed)


def shown(counter: Client, receipt: Receipt, *, days: int) -> list[str]:
    """The pages and the paper that show the deadline, that many days after the delivery came."""
    with time_machine.travel(NOON + dt.timedelta(days=days), tick=False):
        clerk = Person.objects.get(role="parts_clerk")
        counter.force_login(clerk)
        number = receipt.order.number
        at = [reverse(f"parts:{page}", args=[number, receipt.pk]) for page in ("receipt", "damage")]
        at += [reverse("parts:order", args=[number]), reverse("parts:order_list")]
        return [" ".join(counter.get(page).content.decode().split()) for page in at]


def report(receipt: Receipt, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setattr("shop.documents.asking.current_app.send_task", lambda *_a, **_o: None)
    clerk = Person.objects.get(role="parts_clerk")
    asked = ask("receiving_report", receipt.order.stream, by=clerk, now=NOON, options={"paper": "A4"})
    paper = read_record(asked)
    return render_to_string(paper.template, {**paper.context, "title": paper.title, "sheet": "a4"})


def test_told_in_time_it_presses_nobody_any_more(
    counter: Client, receipt: Receipt, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "The carrier has been told" in shown(counter, receipt, days=4)[0]
    assert all("1 day left" in page for page in shown(counter, receipt, days=4))
    answer = tell(counter, receipt, days=4, on=CAME + dt.timedelta(days=2))
    assert "It is recorded that the carrier was told." in words_of(counter, answer)
    for page in shown(counter, receipt, days=9):
        assert "told on 17 Apr 2030, in time; the last day is 20 Apr 2030" in page
        assert 'class="late"' not in page
    receipt_page, damage_page, order_page, _list = shown(counter, receipt, days=9)
    assert "by Clerk of the Test Shop; number CL-88" in receipt_page
    assert "Called the depot" in damage_page
    assert "carrier told of the damage on 17 Apr 2030, number CL-88" in order_page
    paper = report(receipt, monkeypatch)
    assert (
        "was told on 17 Apr 2030, in time; the last day is 20 Apr 2030, by Clerk of the Test Shop." in paper
    )
    assert (
        "The carrier&#x27;s number for it: CL-88." in paper or "The carrier's number for it: CL-88." in paper
    )
    assert Event.objects.filter(kind="damage.carrier_told").count() == 1
    assert verify_record().is_whole


def test_told_too_late_says_so_and_a_second_notice_stands_beside_the_first(
    counter: Client, receipt: Receipt
) -> None:
    tell(counter, receipt, days=9, on=CAME + dt.timedelta(days=7))
    assert all("2 days after the last day, 20 Apr 2030" in page for page in shown(counter, receipt, days=9))
    tell(counter, receipt, days=9, on=CAME + dt.timedelta(days=8), reference="CL-89")
    damage = shown(counter, receipt, days=9)[1]
    assert "3 days after the last day" in damage
    assert "CL-88" in damage
    assert "CL-89" in damage


@pytest.mark.parametrize(
    ("on", "words"),
    [
        (CAME + dt.timedelta(days=3), "That day has not come yet"),
        (CAME - dt.timedelta(days=1), "lies before the delivery came"),
        ("next week", "Enter a valid date"),
        ("", "required"),
    ],
)
def test_a_wrong_day_is_told_beside_it_and_the_rest_is_kept(
    counter: Client, receipt: Receipt, on: Any, words: str
) -> None:
    answer = tell(counter, receipt, days=1, on=on)
    assert answer.status_code in {409, 422}
    assert words in said(answer, "told_on")
    assert answer.context["form"]["reference"].value() == "CL-88"
    assert not CarrierNotice.objects.exists()


def test_only_of_damage_and_only_by_the_counter(counter: Client, looker: Client, receipt: Receipt) -> None:
    assert looker.get(told_at(receipt)).status_code == 403
    assert (
        "The carrier has been told"
        not in looker.get(reverse("parts:damage", args=[receipt.order.number, receipt.pk])).content.decode()
    )
    with time_machine.travel(NOON, tick=False):
        counter.force_login(Person.objects.get(role="parts_clerk"))
        counted(counter, receipt.order, T1_100=1)
    whole = Receipt.objects.exclude(pk=receipt.pk).get()
    assert "nothing to tell the carrier" in counter.get(told_at(whole)).content.decode()
    assert tell(counter, whole, days=0, on=CAME).status_code == 409
    assert not CarrierNotice.objects.exists()

"""Counting again: the new numbers hold, up and down; the first ones stay; a car that loses a part says so."""

from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from parts.models import KitOrder, Recount
from parts.reconciling import reconcile
from shop.models import Entry, Outcome
from shop.verification import verify_record
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute, assert_accepted
from tests.parts.counting_by_hand import counted
from tests.parts.pages_by_hand import receipt_line, said, sent, typed, words_of

GOOD = {"counted": "3", "damaged": "1", "reason": "one was bent under the tape"}


def address(order: KitOrder, part: str = "T1-110") -> str:
    line = receipt_line(order, part)
    return reverse("parts:recounts", args=[order.number, line.receipt_id, line.pk])


@pytest.fixture
def came(counter: Client, order: KitOrder) -> KitOrder:
    """Cradle and sleeves all counted as good, and a sticker that is not in the kit."""
    counted(counter, order, T1_100=1, T1_110=4)
    return order


def test_a_lower_count_holds_and_the_first_stays_readable(counter: Client, came: KitOrder) -> None:
    answer = sent(counter, address(came), **GOOD)
    text = words_of(counter, answer)
    assert "T1-110: now 1 short, first needed at D30." in text
    assert "first counted: 4 good" in text
    line = reconcile(came).lines[1]
    assert (line.counted, line.damaged, line.short) == (3, 1, 1)
    page = counter.get(reverse("parts:order", args=[came.number])).content.decode()
    assert "T1-110 counted again: 3 good, 1 damaged" in page
    assert "one was bent under the tape" in page
    assert verify_record().is_whole


def test_the_newest_of_several_recounts_holds(counter: Client, came: KitOrder) -> None:
    for pieces in ("2", "4", "3"):
        assert sent(counter, address(came), counted=pieces, reason="again").status_code == 302
    assert reconcile(came).lines[1].counted == 3
    page = counter.get(address(came)).content.decode()
    assert page.count(": again</li>") == 3


def test_more_than_ordered_is_asked_once(counter: Client, came: KitOrder) -> None:
    answer = sent(counter, address(came), counted="6", reason="two more in the tube")
    assert answer.status_code == 409
    assert "That makes 6 good ones, but 4 were ordered." in said(answer, "over_confirmed")
    again = typed(answer, counted="6", reason="two more in the tube", over_confirmed="on")
    assert counter.post(address(came), again).status_code == 302
    assert reconcile(came).lines[1].over == 2


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"reason": ""}, "reason", "required"),
        ({"counted": ""}, "counted", "Type a number of pieces"),
        ({"counted": "-1"}, "counted", "below 0"),
        ({"counted": "NaN"}, "counted", "whole number"),
        ({"damaged": "1" + "0" * 399}, "damaged", "too many"),
        ({"counted": "4", "damaged": "0"}, "counted", "nothing changes"),
        ({"reason": "r" * 201}, "reason", "at most 200"),
    ],
)
def test_bad_input_is_told_in_place_and_kept(
    counter: Client, came: KitOrder, changed: dict[str, str], field: str, words: str
) -> None:
    answer = sent(counter, address(came), **(GOOD | changed))
    assert answer.status_code in (409, 422)
    assert words in said(answer, field)
    kept = (GOOD | changed)["reason"]
    assert answer.context["form"]["reason"].value() == kept  # type: ignore[attr-defined]
    assert not Recount.objects.exists()


def test_fewer_than_went_back_cannot_have_come(counter: Client, came: KitOrder) -> None:
    back = reverse("parts:returns", args=[came.number])
    fields = {"part_number": "T1-110", "quantity": "2", "reason": "defective", "sent_on": "2026-01-05"}
    KitOrder.objects.update(ordered_on="2026-01-01")
    assert sent(counter, back, **fields).status_code == 302
    answer = sent(counter, address(came), counted="1", reason="again")
    assert "2 were sent back already" in said(answer, "counted")


def test_sent_twice_is_recorded_once_and_other_content_is_told(counter: Client, came: KitOrder) -> None:
    fields = typed(counter.get(address(came)), **GOOD)
    first, second = (counter.post(address(came), fields) for _ in range(2))
    assert first["Location"] == second["Location"]
    assert Recount.objects.count() == 1
    other = counter.post(address(came), fields | {"counted": "2"})
    assert other.status_code == 409
    text = other.content.decode()
    assert "counted again: T1-110 (3 good, 1 damaged). You sent it again with" in text
    assert "T1-110 (2 good, 1 damaged)" in text


def test_what_somebody_else_recorded_meanwhile_is_told(counter: Client, came: KitOrder) -> None:
    first, second = (typed(counter.get(address(came)), **GOOD) for _ in range(2))
    counter.post(address(came), first)
    answer = counter.post(address(came), second | {"counted": "2"})
    assert answer.status_code == 409
    assert (
        "Meanwhile Clerk of the Test Shop recorded counted again: T1-110 (3 good" in answer.content.decode()
    )
    assert Entry.objects.filter(outcome=Outcome.CONFLICT).count() == 1
    assert (
        counter.post(
            address(came),
            typed(
                answer,
                **GOOD,
            )
            | {"counted": "2"},
        ).status_code
        == 302
    )
    assert reconcile(came).lines[1].counted == 2


def test_whoever_only_looks_may_not(looker: Client, came: KitOrder) -> None:
    assert looker.get(address(came)).status_code == 403
    assert looker.post(address(came), {"entry_id": str(uuid4())}).status_code == 403


@pytest.fixture
def started(db: None) -> SmallRoute:
    """A car whose cradle is being welded in."""
    route = SmallRoute()
    route.up_to("W20")
    assert_accepted(route.send("start", "W20", "fenn"))
    return route


def test_a_part_taken_from_an_operation_in_work_is_said_on_the_job_at_once(started: SmallRoute) -> None:
    order, lead = started.job.kit_order, Desk(started, "lind")
    job = reverse("jobs:job", args=[started.job.number])
    missing = "1 of TC-CRADLE Cradle missing, and W20 has started"
    assert missing not in lead.page(job)
    clerk = Desk(started, "pike")
    answer = clerk.post(address(order, "TC-CRADLE"), _counted_again(clerk, order))
    assert f"W20 of Job {started.job.number} has started" in clerk.page(answer["Location"])
    assert missing in lead.page(job)
    assert "<b>has started</b>" in lead.page(job)
    assert missing in lead.page(reverse("jobs:floor"))


def _counted_again(clerk: Desk, order: KitOrder) -> dict[str, str]:
    page = clerk.get(address(order, "TC-CRADLE"))
    return typed(page, counted="0", damaged="1", reason="cracked at a weld")

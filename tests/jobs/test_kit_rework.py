"""Rework decided on a newer kit list: what used its parts is done once more, with its gates."""

import pytest

from jobs.gates.conditions import reasons_against_release, reasons_against_starting
from jobs.kept_records import KEPT_RECORDS
from jobs.models import BookedTime, Omission, OperationState
from jobs.record import JobRecord
from parts.models import KitAnswer, KitDecision
from shop.verification import verify_record
from tests.jobs.kit_lists import BOLT, CRADLE, decide_list, release_list
from tests.jobs.record_differences import differs
from tests.jobs.short_files import GOOD
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db


def against(record: JobRecord, code: str, route: SmallRoute) -> set[str]:
    operation = record.find(code)
    assert operation is not None
    return {reason.code for reason in reasons_against_starting(record, operation, now=route.now)}


def order_of(record: JobRecord) -> list[str]:
    return [o.code for o in record.operations]


def tacked_again(route: SmallRoute) -> None:
    assert_accepted(route.send("start", "W21", "fenn"))
    for number in ("1", "2"):
        payload = {"checkpoint": f"W21.{number}", **GOOD[f"W20.{number}"]}
        assert_accepted(route.send("reading", "W21", "fenn", **payload))
    route.later(minutes=61)
    assert_accepted(route.send("reading", "W21", "fenn", checkpoint="W21.3", go="yes"))
    assert_accepted(route.send("finish", "W21", "fenn"))


def test_what_is_finished_is_done_once_more_before_what_comes_behind_it(route: SmallRoute) -> None:
    route.up_to("W30")
    release_list(route, CRADLE)
    answer = decide_list(route, KitAnswer.REWORK)
    assert_accepted(answer)
    assert answer.data["again"] == {"W20": "W21"}
    record = route.record
    assert order_of(record)[order_of(record).index("W20") :][:3] == ["W20", "W21", "W30"]
    again = record.find("W21")
    assert again is not None
    assert (again.repeats, again.state) == ("W20", OperationState.WAITING)
    titles = [c.checkpoint.title for c in again.checkpoints]
    assert titles == ["Permit", "Cradle to datum", "Fire watch"]  # no spark without a watch of its own
    assert "after:W21" in against(record, "W30", route)
    assert not route.send("start", "W30", "fenn").accepted
    tacked_again(route)
    assert_accepted(route.send("start", "W30", "fenn"))
    assert verify_record().is_whole


def test_what_is_in_work_goes_no_further_and_is_begun_anew(route: SmallRoute) -> None:
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    assert BookedTime.objects.filter(ended_at=None).exists()
    release_list(route, BOLT)
    assert_accepted(decide_list(route, KitAnswer.REWORK))
    record = route.record
    old, new = record.find("A10"), record.find("A11")
    assert old is not None
    assert new is not None
    assert (old.state, new.state) == (OperationState.NOT_APPLICABLE, OperationState.WAITING)
    assert Omission.objects.get().reason == "Kit list B: The maker's letter"
    assert not BookedTime.objects.filter(ended_at=None).exists()
    # Two bolts more than the older list had: the part is short where it is used again.
    assert "short:TC-BOLT" in against(record, "A11", route)
    assert "A11" in str([r.text for r in reasons_against_release(record, now=route.now)])


def test_a_problem_that_is_open_there_is_settled_first(route: SmallRoute) -> None:
    route.up_to("A10")
    assert_accepted(route.send("start", "A10", "fenn"))
    assert_accepted(route.send("problem", "A10", "fenn", text="Thread stripped"))
    release_list(route, BOLT)
    refused = decide_list(route, KitAnswer.REWORK)
    assert "Nonconformance 1 is open at A10; close it first, then decide" in str(refused.data)
    assert not KitDecision.objects.exists()
    assert route.fresh_job().kit_order.kit_revision.revision == "A"
    assert_accepted(decide_list(route, KitAnswer.CHANGE_OVER))


def test_what_has_not_begun_is_done_by_the_newer_list_alone(route: SmallRoute) -> None:
    route.up_to("W20")
    release_list(route, BOLT)
    answer = decide_list(route, KitAnswer.REWORK)
    assert answer.data["again"] == {}
    assert not any(o.is_added for o in route.record.operations)


def test_the_next_list_asks_of_what_was_done_once_more(route: SmallRoute) -> None:
    route.up_to("W30")
    release_list(route, CRADLE)
    decide_list(route, KitAnswer.REWORK)
    release_list(route, name="C")
    # W21 has not begun: it goes by the newest list without being added again.
    assert decide_list(route, KitAnswer.REWORK, to="C").data["again"] == {"W20": "W21"}
    tacked_again(route)
    release_list(route, CRADLE, name="D")
    assert decide_list(route, KitAnswer.REWORK, to="D").data["again"] == {"W20": "W22"}
    assert order_of(route.record)[order_of(route.record).index("W20") :][:3] == ["W20", "W21", "W22"]


def test_a_record_kept_from_before_has_the_decision(route: SmallRoute) -> None:
    route.up_to("W30")
    KEPT_RECORDS.load(route.fresh_job())
    release_list(route, CRADLE)
    decide_list(route, KitAnswer.REWORK)
    assert not differs(KEPT_RECORDS.load(route.fresh_job()), route.record)

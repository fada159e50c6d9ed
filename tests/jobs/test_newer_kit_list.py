"""A newer kit list while its car is on the floor: what needs a part that it changes waits for a decision."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs.gates.conditions import reasons_against_finishing, reasons_against_release, reasons_against_starting
from jobs.kept_records import KEPT_RECORDS
from jobs.models import Job
from jobs.reasons import Reason
from jobs.record import JobRecord
from parts.models import KitAnswer
from tests.jobs.desk import Desk, another_car
from tests.jobs.kit_lists import BOLT, CRADLE, decide_list, release_list
from tests.jobs.record_differences import differs
from tests.jobs.second_gates import SecondGates
from tests.jobs.small_route import SmallRoute, assert_accepted

pytestmark = pytest.mark.django_db
CODE = "kit_revision:B"


def against(route: SmallRoute, code: str) -> dict[str, Reason]:
    record = route.record
    operation = record.find(code)
    assert operation is not None
    return {r.code: r for r in reasons_against_starting(record, operation, now=route.now)}


def release_codes(route: SmallRoute) -> set[str]:
    return {r.code for r in reasons_against_release(route.record, now=route.now)}


def test_what_needs_a_changed_part_cannot_begin_before_somebody_decides_and_all_else_can(
    route: SmallRoute,
) -> None:
    route.up_to("W20")
    release_list(route, BOLT)
    reason = against(route, "A10")[CODE]
    assert "Kit list B changes TC-BOLT for A10" in reason.text
    assert "A lead or the manager decides on the page of kit order K-9" in reason.clear
    assert not reason.overridable_by
    assert CODE in str(route.send("start", "A10", "fenn").data)
    second = SecondGates(route.job, route.now)
    assert "kit list undecided" in second.faults_before("A10", "start", "")
    assert "kit list undecided" not in second.faults_before("W20", "start", "")
    assert_accepted(route.send("start", "W20", "fenn"))
    assert_accepted(decide_list(route, KitAnswer.CARRY_ON))
    assert CODE not in against(route, "A10") | dict.fromkeys(release_codes(route))


def test_what_is_in_work_cannot_be_finished_and_the_car_not_released(route: SmallRoute) -> None:
    route.up_to("W20")
    assert_accepted(route.send("start", "W20", "fenn"))
    release_list(route, CRADLE)
    assert CODE in str(route.send("finish", "W20", "fenn").data)
    assert CODE in release_codes(route)
    assert_accepted(decide_list(route, KitAnswer.CHANGE_OVER))
    operation = route.record.find("W20")
    assert operation is not None
    assert CODE not in {r.code for r in reasons_against_finishing(route.record, operation, now=route.now)}
    assert route.fresh_job().kit_order.kit_revision.revision == "B"


def test_work_done_once_more_needs_the_parts_of_its_original(route: SmallRoute) -> None:
    route.up_to("W30")
    assert_accepted(route.send("operation_repeat", "W30", "lind", "pin", repeat="W20", reason="Cracked tack"))
    again = next(o.code for o in route.record.operations if o.repeats == "W20")
    release_list(route, CRADLE)
    assert "TC-CRADLE" in against(route, again)[CODE].text
    assert CODE not in against(route, "W30")


def test_a_list_that_changes_no_part_stops_nothing_but_is_decided_before_release(route: SmallRoute) -> None:
    release_list(route)
    assert all(CODE not in against(route, o.code) for o in route.record.operations)
    assert CODE in release_codes(route)


def test_the_next_list_asks_again(route: SmallRoute) -> None:
    release_list(route, BOLT)
    assert_accepted(decide_list(route, KitAnswer.CARRY_ON))
    release_list(route, CRADLE, name="C")
    assert "kit_revision:C" in against(route, "W20")
    assert "TC-BOLT" not in str(against(route, "A10"))


def test_a_kept_record_meets_the_newer_list_and_the_decision(route: SmallRoute) -> None:
    def kept() -> JobRecord:
        record = KEPT_RECORDS.load(route.fresh_job())
        assert not differs(record, route.record)
        return record

    assert kept().newer_list is None
    release_list(route, BOLT)
    assert kept().newer_list is not None
    assert_accepted(decide_list(route, KitAnswer.CARRY_ON))
    assert kept().newer_list is None


def test_it_is_listed_wherever_somebody_looks_for_what_waits(route: SmallRoute) -> None:
    route.up_to("C10")
    release_list(route, BOLT)
    words = "Kit list B has superseded KIT-9 A; nobody has decided about this car"
    lead, manager = Desk(route, "lind"), Desk(route, "ash")
    pages = [lead.page(reverse("jobs:witness_queue")), manager.page(reverse("jobs:week"))]
    for said in (*pages, manager.page(reverse("jobs:floor"))):
        assert words in said
        assert reverse("parts:order_revision", args=["K-9"]) in said
    release = lead.page(reverse("jobs:job_release", args=[route.job.number]))
    assert words in release
    operation = lead.page(reverse("jobs:job_operation", args=[route.job.number, "A10"]))
    assert f'<a href="{reverse("parts:order_revision", args=["K-9"])}">A lead or the manager' in operation


def test_more_cars_behind_a_list_ask_no_more(route: SmallRoute) -> None:
    for _ in range(3):
        another_car(route)
    release_list(route, BOLT)
    one, every = [route.fresh_job()], list(Job.objects.with_car())
    with CaptureQueriesContext(connection) as few:
        JobRecord.load_many(one)
    with CaptureQueriesContext(connection) as many:
        records = JobRecord.load_many(every)
    assert len(many) == len(few)
    assert all(record.newer_list for record in records.values())

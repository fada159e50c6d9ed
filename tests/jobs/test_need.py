"""When a job needs something, by the standard times before it; and what loading a job costs."""

import datetime as dt

from django.db import connection
from django.test.utils import CaptureQueriesContext

from jobs.models import Job, PlanOrigin, PlanState, StoredPlan
from jobs.need import minutes_before, need_date, ready_date
from jobs.record import JobRecord
from tests.jobs.desk import another_car
from tests.jobs.small_route import SmallRoute


def test_an_operation_is_needed_after_the_standard_time_before_it(route: SmallRoute) -> None:
    record = route.record
    weld, first = record.find("W20"), record.find("I10")
    assert weld is not None
    assert first is not None
    assert minutes_before(record, first) == 0
    assert minutes_before(record, weld) == 30 + 120 + 60 + 60 + 60 + 60
    # Monday at eight: 390 working minutes end that afternoon, 870 on Tuesday.
    assert need_date(record, weld, now=route.now) == dt.date(2026, 3, 2)
    assert ready_date(record, now=route.now) == dt.date(2026, 3, 3)


def test_the_plan_in_force_says_when_where_there_is_one(route: SmallRoute) -> None:
    plan = StoredPlan.objects.create(state=PlanState.IN_FORCE, origin=PlanOrigin.SEARCHED, made_at=route.now)
    for code, day in (("I10", -1), ("W20", 9), ("L10", 11)):
        standing = route.record.find(code)
        assert standing is not None
        starts = route.now + dt.timedelta(days=day)
        plan.operations.create(
            job_operation=standing.job_operation,
            starts_at=starts,
            ends_at=starts + dt.timedelta(hours=1),
            minutes=60,
        )
    record = route.record
    first, weld, arms = record.find("I10"), record.find("W20"), record.find("A10")
    assert first is not None
    assert weld is not None
    assert arms is not None
    assert need_date(record, weld, now=route.now) == dt.date(2026, 3, 11)
    assert ready_date(record, now=route.now) == dt.date(2026, 3, 13)
    assert need_date(record, first, now=route.now) == dt.date(2026, 3, 2), "never a day that is past"
    assert need_date(record, arms, now=route.now) == dt.date(2026, 3, 3), "what it does not know goes on"


def test_what_is_done_does_not_count(route: SmallRoute) -> None:
    route.do("I10", "wren")
    record = route.record
    weld = record.find("W20")
    assert weld is not None
    assert minutes_before(record, weld) == 360


def test_many_jobs_are_loaded_in_as_many_queries_as_one(route: SmallRoute) -> None:
    route.up_to("C20")
    with CaptureQueriesContext(connection) as one:
        JobRecord.load(Job.objects.with_car().get())
    another_car(route)
    with CaptureQueriesContext(connection) as two:
        loaded = JobRecord.load_many(Job.objects.with_car())
    assert len(loaded) == 2
    assert len(two) - 1 <= len(one) - 1

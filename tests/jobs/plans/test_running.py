"""A search from what asked for it to what becomes of its plan: offered, accepted, carried on, not taken."""

import datetime as dt

import pytest

from jobs.models import Job, PlanOrigin, PlanSearch, PlanState, SearchState, StoredPlan
from jobs.plans import asking, running
from jobs.plans.asking import ask_for_search, look_after
from jobs.plans.deciding import CannotDecideError, accept, keep_present, show_now
from parts.models import Expectation, KitOrder
from shop.models import Event
from tests.factories import ExpectationFactory
from tests.jobs.desk import another_car
from tests.jobs.plans.one_after_another import OneAfterAnother
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def sent(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """What was sent to the worker, which is not there."""
    told: list[object] = []
    monkeypatch.setattr(asking, "send", told.append)
    return told


def search(route: SmallRoute, solver: OneAfterAnother | None = None) -> PlanSearch:
    row = ask_for_search(["manager"], now=route.now)
    running.run(row.pk, clock=lambda: route.now, solver=solver or OneAfterAnother())
    row.refresh_from_db()
    assert row.state == SearchState.DONE, row.failure
    return row


def accepted(route: SmallRoute) -> StoredPlan:
    search(route)
    plan = StoredPlan.objects.get(state=PlanState.OFFERED)
    accept(plan, by=route.people["ash"], now=route.now)
    return plan


def eta(route: SmallRoute, day: dt.date) -> None:
    line = route.job.kit_order.kit_revision.lines.get(part_number="TC-CRADLE")
    ExpectationFactory(order=KitOrder.objects.first(), kit_line=line, eta=day, entry__stream="elsewhere")


def test_the_first_plan_is_offered_and_accepted_by_name(route: SmallRoute) -> None:
    plan = accepted(route)
    plan.refresh_from_db()
    assert (plan.state, plan.decided_by) == (PlanState.IN_FORCE, route.people["ash"])
    assert plan.operations.filter(part="watch").exists()
    assert Event.objects.filter(stream="plan/shop", kind="plan.accepted").count() == 1
    with pytest.raises(CannotDecideError):
        accept(plan, by=route.people["ash"], now=route.now)


def test_a_plan_whose_cars_are_all_handed_over_is_over_and_not_carried_on(route: SmallRoute) -> None:
    plan = accepted(route)
    another_car(route)
    Job.objects.filter(pk=route.job.pk).update(released_at=route.now)
    search(route)
    plan.refresh_from_db()
    assert plan.state == PlanState.REPLACED
    assert plan.decided_by == route.people["ash"]
    assert StoredPlan.objects.get(state=PlanState.OFFERED).offered_because == "no plan is in force yet"
    assert not StoredPlan.objects.filter(origin=PlanOrigin.CARRIED_ON).exists()
    assert Event.objects.filter(stream="plan/shop", kind="plan.over").count() == 1


def test_a_late_part_moves_the_date_and_a_touched_promise_is_offered_at_once(route: SmallRoute) -> None:
    route.count_kit(TC_CRADLE=0)
    eta(route, dt.date(2026, 3, 4))
    another_car(route)
    Job.objects.update(promised_on=dt.date(2026, 3, 12))
    plan = accepted(route)
    Expectation.objects.update(eta=dt.date(2026, 3, 11))
    search(route, OneAfterAnother(backwards=True))
    present = StoredPlan.objects.get(state=PlanState.IN_FORCE)
    assert (present.origin, present.accepted) == (PlanOrigin.CARRIED_ON, plan)
    offered = StoredPlan.objects.get(state=PlanState.OFFERED)
    assert "it touches what was promised for job" in offered.offered_because
    late = present.cars.get(job=route.job)
    assert "Parts for W20 (Cradle) come on Wed 11 Mar".casefold() in " ".join(late.why).casefold()
    keep_present(offered, by=route.people["ash"], now=route.now)
    assert StoredPlan.objects.in_force().get() == present
    search(route)
    assert not StoredPlan.objects.beside().exists(), "the same again changes nothing"


def test_what_touches_no_promise_waits_for_its_day_but_can_be_looked_at(route: SmallRoute) -> None:
    another_car(route)
    accepted(route)
    search(route, OneAfterAnother(backwards=True))
    found = StoredPlan.objects.beside().get()
    assert found.state == PlanState.FOUND
    show_now(found, by=route.people["ash"], now=route.now)
    found.refresh_from_db()
    assert found.offered_because == "Ash asked for it"
    route.later(days=1)
    search(route, OneAfterAnother(backwards=True))
    newer = StoredPlan.objects.beside().get()
    assert (newer.pk != found.pk, newer.state) == (True, PlanState.OFFERED)


def test_events_ask_for_one_search_once_it_is_quiet(route: SmallRoute, sent: list[object]) -> None:
    search(route)
    route.later(minutes=5)
    route.authorise()
    route.do("I10", "wren")
    look_after(now=route.now + dt.timedelta(seconds=2))
    assert PlanSearch.objects.count() == 1, "it is not quiet yet"
    look_after(now=route.now + dt.timedelta(seconds=20))
    look_after(now=route.now + dt.timedelta(seconds=25))
    asked = PlanSearch.objects.get(state=SearchState.ASKED)
    assert asked.causes == ["progress"]
    ask_for_search(["pins"], now=route.now)
    asked.refresh_from_db()
    assert asked.causes == ["pins", "progress"]
    assert PlanSearch.objects.count() == 2


def test_work_that_runs_over_and_a_new_day_ask_too(route: SmallRoute) -> None:
    route.up_to("T10")
    accepted(route)
    route.send("start", "T10", "fenn")
    search(route)
    route.later(hours=4)
    look_after(now=route.now)
    assert PlanSearch.objects.get(state=SearchState.ASKED).causes == ["overrun"]
    PlanSearch.objects.all().delete()
    look_after(now=route.now + dt.timedelta(days=1))
    assert "day" in PlanSearch.objects.get().causes


def test_a_lost_worker_is_noticed_and_a_failure_is_told(route: SmallRoute) -> None:
    row = ask_for_search(["manager"], now=route.now)
    assert asking.claim(row.pk, now=route.now)
    assert asking.claim(row.pk, now=route.now) is None
    look_after(now=route.now + asking.LEASE * 2)
    row.refresh_from_db()
    assert row.state == SearchState.ASKED

    class Broken(OneAfterAnother):
        def searched(self, problem, watch=None):  # type: ignore[no-untyped-def]
            raise ValueError("no such thing")

    running.run(row.pk, clock=lambda: route.now, solver=Broken())
    row.refresh_from_db()
    assert (row.state, row.failure) == (SearchState.FAILED, "ValueError: no such thing")

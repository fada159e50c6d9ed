"""A search that goes on: how far it is, its best so far as a plan, and the manager who stops it."""

import datetime as dt
from threading import Event

import pytest

from jobs.models import PlanSearch, PlanState, SearchState, StoredPlan
from jobs.planning.plan import Proposal, SoFar
from jobs.planning.problem import Problem
from jobs.plans import asking, running, watching
from jobs.plans.asking import ask_for_search
from jobs.plans.mapping import problem_of
from jobs.plans.shop_state import ShopState
from jobs.plans.watching import Looking, NothingToStopError, Watch, stop_search
from tests.jobs.desk import Desk, another_car
from tests.jobs.plans.one_after_another import OneAfterAnother
from tests.jobs.small_route import SmallRoute

pytestmark = pytest.mark.django_db


class Slow(OneAfterAnother):
    """Has a plan at once and goes on until it is told to stop."""

    def searched(self, problem: Problem, watch: Watch | None = None) -> Proposal:
        found = self._plan(problem, backwards=False)
        assert watch is not None
        watch.tell(SoFar(objective=200, bound=150, seconds=0.1, make=lambda: found))
        assert watch.halt.wait(20), "nobody stopped it"
        return found


@pytest.fixture(autouse=True)
def looked_at_often(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(asking, "send", lambda _id: None)
    monkeypatch.setattr(watching, "LOOK_SECONDS", 0.01)


def test_the_best_so_far_is_looked_at_and_taken(route: SmallRoute) -> None:
    another_car(route)
    row = ask_for_search(["manager"], now=route.now)
    pages: list[str] = []
    overtaken: list[str] = []

    def clock() -> dt.datetime:
        """While the search goes on, the manager looks, and stops it."""
        if not pages and StoredPlan.objects.so_far().exists():
            desk = Desk(route, "ash")
            pages.extend((desk.page("/plan/"), desk.page("/plan/so-far/")))
            overtaken.append(desk.page("/plan/so-far/?seen=1000"))
            desk.client.post("/plan/so-far/")
            pages.append(desk.page("/plan/so-far/"))
        return route.now

    running.run(row.pk, clock=clock, solver=Slow())
    state, so_far, stopped = (" ".join(page.split()) for page in pages)
    assert "Look at the best so far" in state
    assert "A better one was found" in overtaken[0]
    assert "A better one was found" not in so_far
    assert "No plan can be better than its best by more than 25 %" in so_far
    assert "Stop the search and take this" in so_far
    assert "Ash has stopped the search" in stopped
    row.refresh_from_db()
    assert (row.state, row.failure) == (SearchState.DONE, "")
    assert not StoredPlan.objects.so_far().exists()
    offered = StoredPlan.objects.get()
    assert (offered.state, offered.offered_because) == (
        PlanState.OFFERED,
        "Ash stopped the search and took the best",
    )


def test_others_may_look_and_nothing_is_stopped_that_has_not_begun(route: SmallRoute) -> None:
    with pytest.raises(NothingToStopError):
        stop_search(by=route.people["ash"], now=route.now)
    row = ask_for_search(["manager"], now=route.now)
    assert "is going to be searched for" in Desk(route, "ash").page("/plan/so-far/")
    assert asking.claim(row.pk, now=route.now)
    assert "There is nothing to look at yet." in Desk(route, "ash").page("/plan/so-far/")
    assert Desk(route, "fenn").client.get("/plan/so-far/").status_code == 403
    asking.end(PlanSearch.objects.get(), now=route.now)
    over = Desk(route, "ash").get("/plan/so-far/?seen=x", target="so-far")
    assert over["HX-Redirect"] == "/plan/proposal/"
    assert "No other plan lies beside" in Desk(route, "ash").page("/plan/proposal/")


def test_a_search_that_somebody_else_took_over_is_stopped(route: SmallRoute) -> None:
    row = ask_for_search(["manager"], now=route.now)
    over = Event()

    def clock() -> dt.datetime:
        if PlanSearch.objects.filter(best_at__isnull=False).exists() and not over.is_set():
            over.set()
            PlanSearch.objects.update(attempt=7)
        return route.now

    running.run(row.pk, clock=clock, solver=Slow())
    assert not StoredPlan.objects.exists() or StoredPlan.objects.get().state == PlanState.SO_FAR


def test_a_search_longer_than_its_lease_is_not_taken_for_dead(route: SmallRoute) -> None:
    """Each look at the clock is a minute later: the whole takes many times the lease."""
    another_car(route)
    row = ask_for_search(["manager"], now=route.now)
    ticks: list[dt.datetime] = []

    def clock() -> dt.datetime:
        ticks.append(route.now + dt.timedelta(minutes=len(ticks)))
        asking.look_after(now=ticks[-1])
        if len(ticks) == 12:
            PlanSearch.objects.update(stop_asked_at=route.now)
        return ticks[-1]

    running.run(row.pk, clock=clock, solver=Slow())
    row.refresh_from_db()
    assert ticks[-1] - ticks[0] > 3 * asking.LEASE
    assert (row.state, row.attempt, row.failure) == (SearchState.DONE, 1, "")


def test_what_a_killed_worker_left_is_taken_up_again_and_comes_to_its_end(route: SmallRoute) -> None:
    another_car(route)
    row = ask_for_search(["manager"], now=route.now)
    dead = asking.claim(row.pk, now=route.now)
    assert dead is not None
    soon, later = route.now + asking.LEASE / 2, route.now + asking.LEASE * 2
    asking.look_after(now=soon)
    running.run(row.pk, clock=lambda: soon, solver=OneAfterAnother())
    assert not StoredPlan.objects.exists(), "it is still in somebody's hands"
    asking.look_after(now=later)
    running.run(row.pk, clock=lambda: later, solver=OneAfterAnother())
    row.refresh_from_db()
    assert (row.state, row.attempt) == (SearchState.DONE, 2)
    asking.end(dead, now=later, failure="woke up again")
    asking.renew(dead, now=later)
    row.refresh_from_db()
    assert (row.state, row.failure, row.lease_until) == (SearchState.DONE, "", None)


def test_a_search_that_ends_too_late_leaves_the_best_of_the_newer_one(route: SmallRoute) -> None:
    another_car(route)
    slow = asking.claim(ask_for_search(["manager"], now=route.now).pk, now=route.now)
    assert slow is not None
    later = route.now + asking.LEASE * 2
    newer = asking.claim(ask_for_search(["day"], now=later).pk, now=later)
    assert newer is not None
    assert not asking.holds(slow), "two searches would be in work"
    best = _looked_at(newer, route, later)
    _looked_at(slow, route, later)
    asking.end(slow, now=later, failure="woke up too late")
    assert StoredPlan.objects.so_far().get() == best
    asking.end(newer, now=later)
    assert not StoredPlan.objects.so_far().exists()


def test_an_attempt_that_ends_too_late_leaves_the_best_of_the_next_one(route: SmallRoute) -> None:
    another_car(route)
    slow = asking.claim(ask_for_search(["manager"], now=route.now).pk, now=route.now)
    assert slow is not None
    later = route.now + asking.LEASE * 2
    asking.look_after(now=later)
    asking.end(slow, now=later, failure="woke up before it was taken up again")
    again = asking.claim(slow.pk, now=later)
    assert again is not None
    best = _looked_at(again, route, later)
    asking.end(slow, now=later, failure="woke up too late")
    assert StoredPlan.objects.so_far().get() == best


def _looked_at(search: PlanSearch, route: SmallRoute, now: dt.datetime) -> StoredPlan | None:
    """What lies there as the best so far when a search with something better was looked at."""
    state = ShopState.load(now=now)
    mapped = problem_of(state)
    found = OneAfterAnother().searched(mapped.problem)
    watch = Watch()
    watch.tell(SoFar(objective=200, bound=150, seconds=0.1, make=lambda: found))
    Looking(search, mapped, state).look(watch, now)
    return StoredPlan.objects.so_far().first()

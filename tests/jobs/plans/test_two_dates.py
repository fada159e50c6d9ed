"""Why the two forecasts of a car's date differ: said by counted runs, and only where they do.

In half of the runs, by the luck of the draw, the first car's work is done once more and takes all of Monday
instead of the morning; in just those the second car goes another way than the plan's.
"""

import datetime as dt
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from jobs.planning.forecast.draws import Draws
from jobs.planning.forecast.hours import Clock, Times
from jobs.planning.forecast.outlook import outlooks
from jobs.planning.plan import Plan, Proposal
from jobs.planning.problem import Bay, Person, Problem
from jobs.plans.forecasting import AT_ONCE, forecasts_of
from jobs.plans.mapping import Mapped
from tests.jobs.planning.forecast.certain import AS_PLANNED
from tests.jobs.planning.small_shop import at, bay, changed, first_plan, job, operation, person, shop

AGAIN = replace(AS_PLANNED, fail_chance=0.5, rework=1.0)
SAMPLES = 40
B1, B2 = bay("B1", "fab"), bay("B2", "fab")
ANN, BOB = person("ann", "weld"), person("bob", "fab")
GOES_FIRST = "; who goes first then is seen only when the shop is played"


def two_cars(bays: tuple[Bay, ...], people: tuple[Person, ...]) -> tuple[Problem, Plan]:
    """The second car is to go into B1 at one o'clock, when the first has left it."""
    skill = "fab" if len(people) > 1 else "weld"
    first = job("J1", operation("a", 240, "weld", hold=True))
    problem = shop(first, job("J2", operation("b", 240, skill)), bays=bays, people=people)
    plan = changed(first_plan(problem), "a", person="ann", bay="B1", start=at(2, 8), end=at(2, 12))
    who = people[-1].id
    return problem, changed(plan, "b", person=who, bay="B1", start=at(2, 13), end=at(2, 17))


def again(problem: Problem, count: int) -> float:
    """The share of runs in which the first car's work is done once more, counted from the draws alone."""
    return float(np.mean(Draws(AGAIN, count).fails(problem.operation["a"])))


def said(
    problem: Problem, plan: Plan, monkeypatch: pytest.MonkeyPatch, *, later: int
) -> dict[str, list[str]]:
    """What is said of each car's two dates, where the shop that is played is so many days later."""

    def simulated(problem: Problem, plan: Plan, draws: Draws, clock: Clock) -> dict[str, Times]:
        quick = outlooks(problem, plan, draws, clock)
        return {name: one.finishes + later * 24 * 60 for name, one in quick.items()}

    monkeypatch.setattr("jobs.planning.forecast.simulating.simulated", simulated)
    whose = {
        name: SimpleNamespace(
            standing=SimpleNamespace(code=name), job=SimpleNamespace(number=0, promised_on=None)
        )
        for name in problem.operation
    }
    mapped = Mapped(problem, whose, {}, ())  # type: ignore[arg-type]
    found = forecasts_of(mapped, Proposal(plan, 0), about=AGAIN, samples=SAMPLES)
    return {
        name: [one["text"] for one in car.late_because if one.get("apart")] for name, car in found.items()
    }


@pytest.mark.parametrize(
    ("bays", "people", "share", "words"),
    [
        ((B1, B2), (ANN, BOB), "moved", "it has another bay than the plan's"),
        ((B1,), (ANN, BOB), "waited", "its bay is still held when it is to go in"),
    ],
    ids=["another bay", "its bay is held"],
)
def test_a_reason_is_told_by_the_runs_in_which_it_holds(
    bays: tuple[Bay, ...],
    people: tuple[Person, ...],
    share: str,
    words: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    problem, plan = two_cars(bays, people)
    runs = AT_ONCE * SAMPLES
    found = outlooks(problem, plan, Draws(AGAIN, runs))["J2"]
    counted = {"moved": 0.0, "waited": 0.0, "short": 0.0, share: again(problem, runs)}
    assert {name: getattr(found, name) for name in counted} == counted
    told = said(problem, plan, monkeypatch, later=5)
    assert told["J2"] == [f"in {round(10 * again(problem, runs))} runs of 10 {words}{GOES_FIRST}"]


def test_people_who_are_not_free_are_a_reason_of_their_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each car has a bay; ann alone may do both. That the second waits until noon is as planned."""
    problem, plan = two_cars((B1, B2), (ANN,))
    plan = changed(plan, "b", bay="B2")
    share = again(problem, AT_ONCE * SAMPLES)
    found = outlooks(problem, plan, Draws(AGAIN, AT_ONCE * SAMPLES))["J2"]
    assert (found.moved, found.waited, found.short) == (0.0, 0.0, share)
    words = f"in {round(10 * share)} runs of 10 somebody is not free when its work is ready"
    assert said(problem, plan, monkeypatch, later=5)["J2"] == [words + GOES_FIRST]


def test_several_reasons_are_told_beside_each_other(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the first car is late, the second goes into B2, and waits for ann there."""
    problem, plan = two_cars((B1, B2), (ANN,))
    share = again(problem, AT_ONCE * SAMPLES)
    found = outlooks(problem, plan, Draws(AGAIN, AT_ONCE * SAMPLES))["J2"]
    assert (found.moved, found.waited, found.short) == (share, 0.0, share)
    bays = f"in {round(10 * share)} runs of 10 it has another bay than the plan's"
    people = f"in {round(10 * share)} runs of 10 somebody is not free when its work is ready"
    assert said(problem, plan, monkeypatch, later=-5)["J2"] == [f"{bays}, {people}{GOES_FIRST}"]


def test_where_none_of_that_holds_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """The first car has its bay and its people in every run."""
    told = said(*two_cars((B1, B2), (ANN, BOB)), monkeypatch, later=5)["J1"]
    assert told == ["its dates lie so far apart from run to run that they are not told closer"]


@pytest.mark.parametrize("later", [-2, 0, 2])
def test_nothing_is_said_where_they_agree_within_two_days(
    later: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = said(*two_cars((B1, B2), (ANN, BOB)), monkeypatch, later=later)
    assert told == {"J1": [], "J2": []}


def test_dates_worked_out_at_once_have_nothing_beside_them(monkeypatch: pytest.MonkeyPatch) -> None:
    problem, plan = two_cars((B1,), (ANN, BOB))
    mapped = Mapped(problem, {}, {}, ())
    about = replace(AS_PLANNED)
    found = forecasts_of(mapped, Proposal(plan, 0), about=about, samples=5, at_once=True)
    assert found["J2"].likely_on == found["J2"].at_once_likely_on == dt.date(2026, 3, 2)
    assert not any(one.get("apart") for one in found["J2"].late_because)

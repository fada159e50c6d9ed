"""What holds of both forecasts whatever the shop: they hang on no order of the data, and work takes time."""

from dataclasses import replace
from functools import cache

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.planning.forecast.draws import Draws, Uncertainty
from jobs.planning.forecast.hours import Clock, Times
from jobs.planning.forecast.outlook import outlooks
from jobs.planning.forecast.simulating import simulated
from jobs.planning.plan import Plan
from jobs.planning.problem import Job, Problem
from tests.jobs.planning.forecast.certain import draws, spreading
from tests.jobs.planning.small_shop import at, bay, first_plan, job, operation, person, shop

SAMPLES = 15
TWO_BAYS = (bay("B1", "fab"), bay("B2", "fab"))


def car(n: int, skill: str = "fab", **more: object) -> Job:
    """Three operations, one of them on one day, one with a look at it."""
    steps = (
        operation(f"a{n}", 60 * (n % 3 + 1), skill),
        operation(f"b{n}", 120, skill, after=(f"a{n}",), same_day=True, hold=True),
        operation(f"c{n}", 90, skill, after=(f"b{n}",), parts_at=at(4, 9) if n == 1 else None),
    )
    return job(f"J{n}", *steps, **more)


@cache
def five_cars() -> tuple[Problem, Plan]:
    """Two bays and two people for five cars."""
    problem = shop(*(car(n) for n in range(5)), bays=TWO_BAYS)
    return problem, first_plan(problem)


def forecasts(problem: Problem, plan: Plan, sample: Draws) -> tuple[dict[str, Times], dict[str, Times]]:
    clock = Clock(problem)
    quick = {name: one.finishes for name, one in outlooks(problem, plan, sample, clock).items()}
    return quick, simulated(problem, plan, sample, clock)


@settings(max_examples=8)
@given(st.permutations(range(5)), st.integers(0, 5))
def test_forecasts_do_not_depend_on_the_order_of_jobs(order: list[int], seed: int) -> None:
    problem, plan = five_cars()
    turned = replace(problem, jobs=tuple(problem.jobs[n] for n in order))
    sample = Draws(Uncertainty(), SAMPLES, seed)
    for one, other in zip(forecasts(problem, plan, sample), forecasts(turned, plan, sample), strict=True):
        assert one.keys() == other.keys() == problem.job.keys()
        for name, finishes in one.items():
            assert np.array_equal(finishes, other[name])
    causes, theirs = (outlooks(each, plan, sample) for each in (problem, turned))
    assert all(causes[name].causes == theirs[name].causes for name in problem.job)


def longer(problem: Problem, name: str, minutes: int) -> Problem:
    def more(one: Job) -> Job:
        found = (replace(o, minutes=o.minutes + minutes) if o.id == name else o for o in one.operations)
        return replace(one, operations=tuple(found))

    return replace(problem, jobs=tuple(more(one) for one in problem.jobs))


@cache
def each_its_own() -> tuple[Problem, Plan]:
    """Three cars, the first two one after another in one bay; nobody has two skills."""
    cars = [replace(car(n, f"skill{n}"), segments=car(0).segments) for n in range(3)]
    people = tuple(person(f"P{n}", f"skill{n}") for n in range(3))
    bays = (*TWO_BAYS[:1], bay("B2", "other"))
    cars[2] = replace(cars[2], segments=(replace(cars[2].segments[0], bay_features=frozenset({"other"})),))
    problem = shop(*cars, people=people, bays=bays)
    return problem, first_plan(problem)


@settings(max_examples=12)
@given(st.sampled_from("abc"), st.integers(0, 2), st.integers(1, 12), st.integers(0, 3))
def test_more_work_never_brings_a_date_forward(step: str, n: int, quarters: int, seed: int) -> None:
    """Where cars do not vie for people; where they do, an hour more may let others pass (Graham, Bounds on
    Multiprocessing Timing Anomalies, SIAM J. Appl. Math. 17, 1969)."""
    problem, plan = each_its_own()
    sample = Draws(spreading(0.3, car=0.1), SAMPLES, seed)
    before = forecasts(problem, plan, sample)
    after = forecasts(longer(problem, f"{step}{n}", 15 * quarters), plan, sample)
    for one, other in zip(before, after, strict=True):
        assert all((other[name] >= one[name]).all() for name in one)
        assert step != "c" or (other[f"J{n}"] > one[f"J{n}"]).all(), "its last work ends later"


def test_an_hour_more_on_each_operation_moves_every_date() -> None:
    problem, plan = five_cars()
    sample = draws(spreading(0.2), SAMPLES)
    all_longer = problem
    for name in problem.operation:
        all_longer = longer(all_longer, name, 60)
    for one, other in zip(forecasts(problem, plan, sample), forecasts(all_longer, plan, sample), strict=True):
        assert all(np.mean(other[name]) > np.mean(one[name]) for name in one)

"""Both forecasts follow one plan of one shop: exactly without chance, closely with each source of it."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from scipy import stats

from jobs.planning.forecast.draws import Uncertainty
from jobs.planning.forecast.hours import Clock
from jobs.planning.forecast.outlook import outlooks, played
from jobs.planning.forecast.simulating import simulated
from jobs.planning.forecast.spread import Lateness
from jobs.planning.plan import Plan
from jobs.planning.problem import Problem, Segment
from tests.jobs.planning.forecast.certain import AS_PLANNED, draws, spreading
from tests.jobs.planning.small_shop import at, bay, first_plan, job, operation, person, shop

WAY = (Segment("main", frozenset({"fab"})), Segment("rack", frozenset({"rack"})))
SAMPLES = 150
DAY = 24 * 60


@cache
def busy() -> tuple[Problem, Plan]:
    """Nine cars in two bays and one rack, with four people, and parts for some."""
    cars = []
    for n in range(9):
        steps = (
            operation(f"t{n}", 180),
            operation(f"w{n}", 300 + 30 * (n % 4), "weld", after=(f"t{n}",)),
            operation(f"i{n}", 45, "inspect", after=(f"w{n}",), hold=True, same_day=True),
            operation(f"a{n}", 240, after=(f"i{n}",), parts_at=at(3 + 2 * n, 9) if n % 2 else None),
            operation(f"r{n}", 90, "align", after=(f"a{n}",), segment="rack", same_day=True),
        )
        cars.append(job(f"J{n}", *steps, segments=WAY, due=at(10 + n)))
    people = (
        person("ann", "fab", "weld"),
        person("bob", "fab", "inspect"),
        person("cid", "weld", "align"),
        person("dee", "fab", "align", "inspect"),
    )
    bays = (bay("B1", "fab"), bay("B2", "fab"), bay("R", "rack"))
    problem = shop(*cars, people=people, bays=bays)
    return problem, first_plan(problem)


def test_without_chance_both_give_the_plans_own_dates() -> None:
    problem, plan = busy()
    clock = Clock(problem)
    planned = {one.job: one.finish for one in plan.jobs}
    played_out = simulated(problem, plan, draws(count=1), clock)
    assert {name: clock.moment(int(times[0])) for name, times in played_out.items()} == planned
    assert {name: one.p50 for name, one in outlooks(problem, plan, draws(count=1)).items()} == planned


@pytest.mark.parametrize(
    "about",
    [
        spreading(0.25),
        spreading(0.0, car=0.15),
        replace(AS_PLANNED, fail_chance=0.2),
        replace(AS_PLANNED, lateness=Lateness(0.2, 5.0)),
        Uncertainty(),
    ],
    ids=["work", "cars", "looks", "parts", "all"],
)
def test_with_chance_they_agree_within_two_days(about: Uncertainty) -> None:
    problem, plan = busy()
    clock, sample = Clock(problem), draws(about, SAMPLES)
    quick, thorough = outlooks(problem, plan, sample, clock), simulated(problem, plan, sample, clock)
    for name, one in quick.items():
        for share in (0.5, 0.8):
            apart = np.quantile(one.finishes, share) - np.quantile(thorough[name], share)
            assert abs(apart) <= 2 * DAY, (name, share, apart / DAY)


def test_the_later_of_two_is_spread_as_the_maximum_of_two() -> None:
    """Two operations at once, then one of no length: P(max <= t) is the square of the lognormal's."""
    one, two = operation("a", 100), operation("b", 100)
    problem = shop(job("J1", one, two, operation("c", 0, None, after=("a", "b"))))
    plan, about = first_plan(problem), spreading(0.2)
    said = stats.lognorm(0.2, scale=100)
    sample, clock = draws(about, 8000), Clock(problem)
    few = draws(about, 800)
    for finishes in (
        outlooks(problem, plan, sample, clock)["J1"].finishes,
        simulated(problem, plan, few, clock)["J1"],
    ):
        for share in (0.5, 0.8):
            minutes = np.quantile(finishes, share) - clock.minute(problem.now)
            assert minutes == pytest.approx(said.ppf(share**0.5), rel=0.03)


def test_a_chain_under_one_factor_is_spread_as_that_factor() -> None:
    """Three operations of one car share its factor alone: their sum is lognormal about the sum of times."""
    steps = (operation("a", 60), operation("b", 60, after=("a",)), operation("c", 60, after=("b",)))
    problem = shop(job("J1", *steps))
    plan, clock = first_plan(problem), Clock(problem)
    said = stats.lognorm(0.1, scale=180)
    quick = outlooks(problem, plan, draws(spreading(0.0, car=0.1), 8000), clock)["J1"].finishes
    thorough = simulated(problem, plan, draws(spreading(0.0, car=0.1), 800), clock)["J1"]
    for finishes in (quick, thorough):
        for share in (0.2, 0.5, 0.8):
            minutes = np.quantile(finishes, share) - clock.minute(problem.now)
            assert minutes == pytest.approx(said.ppf(share), rel=0.03)


@pytest.mark.parametrize("same_day", [False, True])
def test_nobody_is_in_two_places_at_once(same_day: bool) -> None:
    """One person for all of it: at no minute are two operations under way, in any sample."""
    cars = [
        job(f"J{n}", operation(f"o{n}", 120, segment=None, same_day=same_day and n % 2 == 1), segments=())
        for n in range(6)
    ]
    problem = shop(*cars, people=(person("ann", "fab"),))
    run = played(problem, first_plan(problem), draws(spreading(0.4), 200))
    names = [f"o{n}" for n in range(6)]
    starts, ends = (np.sort([of[name] for name in names], axis=0) for of in (run.starts, run.ends))
    assert (starts[1:] >= ends[:-1]).all()
    if not same_day:  # nothing is left free in between
        before = run.clock.hours_of(["ann"]).before
        took = np.sum([run.took[name] for name in names], axis=0)
        assert np.array_equal(before[ends[-1]] - before[run.now], took)

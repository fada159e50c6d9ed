"""Dates with their chances, from a plan's order of bays; scipy's distributions are the second opinion."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from jobs.planning.forecast.chain import Why
from jobs.planning.forecast.outlook import outlooks
from jobs.planning.forecast.spread import Lateness
from jobs.planning.problem import Problem, Segment, Status
from tests.jobs.planning.forecast.certain import AS_PLANNED, draws, spreading
from tests.jobs.planning.small_shop import at, bay, first_plan, job, operation, shop, span

ROLLS = (Segment("main", frozenset({"fab"})),)


def two_cars() -> Problem:
    return shop(
        job("J1", operation("a", 240), operation("b", 240, after=("a",)), due=at(3, 17)),
        job("J2", operation("c", 240), operation("d", 240, after=("c",)), due=at(3, 17)),
    )


def test_where_nothing_is_uncertain_it_is_the_plan() -> None:
    problem = two_cars()
    plan = first_plan(problem)
    for name, found in outlooks(problem, plan, draws()).items():
        assert found.p50 == found.p80 == plan.finish_of[name].finish
        assert found.chance == 1.0


def test_one_operation_spreads_as_its_distribution_says() -> None:
    """Minutes are lognormal (NIST/SEMATECH e-Handbook 1.3.6.6.9); all within one long day of work."""
    problem = shop(job("J1", operation("a", 100)))
    sigma = 0.2
    found = outlooks(problem, first_plan(problem), draws(spreading(sigma), 20_000))["J1"]
    said = stats.lognorm(sigma, scale=100)
    minutes = found.finishes - found.finishes.min() + 0.0
    assert (found.p80 - at(2, 8)).seconds / 60 == pytest.approx(said.ppf(0.8), rel=0.02)
    assert (found.p50 - at(2, 8)).seconds / 60 == pytest.approx(said.ppf(0.5), rel=0.02)
    assert np.std(minutes) == pytest.approx(said.std(), rel=0.05)


def test_a_factor_that_a_car_shares_widens_what_independent_noise_evens_out() -> None:
    parts = [operation("a0", 30), *(operation(f"a{n}", 30, after=(f"a{n - 1}",)) for n in range(1, 8))]
    problem = shop(job("J1", *parts))
    plan = first_plan(problem)
    alone = outlooks(problem, plan, draws(spreading(0.3), 2000))["J1"]
    shared = outlooks(problem, plan, draws(spreading(0.0, car=0.3), 2000))["J1"]
    assert np.std(shared.finishes) > 2 * np.std(alone.finishes)


def test_the_next_car_waits_for_the_bay_and_the_cause_names_it() -> None:
    problem = replace(
        two_cars(),
        jobs=(replace(two_cars().jobs[0], due=at(2, 17)), replace(two_cars().jobs[1], due=at(3, 12))),
    )
    found = outlooks(problem, first_plan(problem), draws(spreading(0.1)))["J2"]
    assert found.chance < 1
    bays = [cause for cause in found.causes if cause.why is Why.BAY]
    assert [(cause.what, cause.other) for cause in bays] == [("B1", "J1")]
    assert bays[0].share == 1.0


def test_parts_that_are_late_are_a_cause_as_often_as_they_are_late() -> None:
    problem = shop(
        job("J1", operation("a", 60), operation("b", 60, after=("a",), parts_at=at(3, 8)), due=at(3, 9))
    )
    about = replace(AS_PLANNED, lateness=Lateness(0.3, 4.0))
    found = outlooks(problem, first_plan(problem), draws(about, 4000))["J1"]
    assert found.chance == pytest.approx(0.7, abs=0.03)
    assert (found.causes[0].why, found.causes[0].what) == (Why.PARTS, "b")
    assert found.causes[0].share == 1.0


def test_one_delivery_for_a_car_is_late_as_a_whole() -> None:
    car = job("J1", operation("a", parts_at=at(3)), operation("b", parts_at=at(3)))
    sample = draws(replace(AS_PLANNED, lateness=Lateness(0.5, 5.0)))
    assert np.array_equal(sample.days_late(car, car.operations[0]), sample.days_late(car, car.operations[1]))


def test_a_supplier_of_its_own_has_its_own_lateness() -> None:
    car = job("J1", operation("a", parts_at=at(3)))
    about = replace(AS_PLANNED, suppliers={"a": "slow"}, by_supplier={"slow": Lateness(1.0, 6.0)})
    days = draws(about, 4000).days_late(car, car.operations[0])
    assert days.min() >= 1
    assert np.mean(days) == pytest.approx(
        1 / (1 - np.exp(-1 / 6)), rel=0.05
    )  # a geometric mean of whole days


def test_a_look_that_fails_has_work_done_again() -> None:
    problem = shop(job("J1", operation("a", 100, hold=True)))
    about = replace(AS_PLANNED, fail_chance=0.25, rework=0.5)
    found = outlooks(problem, first_plan(problem), draws(about, 4000))["J1"]
    assert found.p50 == at(2, 9, 40)
    assert np.mean(found.finishes > found.finishes.min()) == pytest.approx(0.25, abs=0.03)
    assert found.finishes.max() - found.finishes.min() == 50


def test_a_bay_that_is_closed_takes_no_car() -> None:
    """The first car may take longer than planned, into the days on which the bay is closed."""
    problem = replace(two_cars(), bays=(bay("B1", "fab", down=(span(at(4), at(6)),)),))
    plan = first_plan(problem)
    slow = outlooks(problem, plan, draws(spreading(0.0, mu=np.log(2))))["J2"]
    assert slow.p50.date() == at(9).date()


def test_a_running_operation_goes_on_with_what_remains() -> None:
    running = operation("a", 240, status=Status.RUNNING, person="ann", started=at(2, 7), remaining_minutes=60)
    problem = shop(job("J1", running, bay="B1"))
    assert outlooks(problem, first_plan(problem), draws())["J1"].p50 == at(2, 9)


def test_more_than_sixty_four_cars_have_their_causes() -> None:
    cars = [
        job(f"J{n:03}", operation(f"o{n}", 60, segment=None), segments=(), due=at(2, 8)) for n in range(70)
    ]
    problem = shop(*cars)
    found = outlooks(problem, first_plan(problem), draws(spreading(0.4), 50))
    assert len(found) == 70
    assert all(found[car.id].causes[0].what == car.operations[0].id for car in cars)

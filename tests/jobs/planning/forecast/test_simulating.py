"""The shop played event by event; small shops whose days are worked out by hand."""

from dataclasses import replace

import numpy as np

from jobs.planning.forecast.draws import Draws, Uncertainty
from jobs.planning.forecast.hours import Clock
from jobs.planning.forecast.outlook import outlooks
from jobs.planning.forecast.simulating import simulated
from jobs.planning.plan import Plan
from jobs.planning.problem import Crew, Problem, Segment
from tests.jobs.planning.forecast.certain import draws, spreading
from tests.jobs.planning.small_shop import at, bay, changed, first_plan, job, operation, person, shop, span

TWO_BAYS = (bay("B1", "fab"), bay("B2", "fab"))


def finishes(problem: Problem, plan: Plan | None = None, sample: Draws | None = None) -> dict[str, object]:
    """The one date of each job where nothing is uncertain."""
    clock = Clock(problem)
    found = simulated(problem, plan or first_plan(problem), sample or draws(count=2), clock)
    assert all(len(set(times)) == 1 for times in found.values())
    return {name: clock.moment(int(times[0])) for name, times in found.items()}


def test_where_nothing_is_uncertain_it_is_the_plan() -> None:
    problem = shop(
        job("J1", operation("a", 240), operation("b", 240, after=("a",))),
        job("J2", operation("c", 240), operation("d", 240, "weld", after=("c",))),
        bays=TWO_BAYS,
    )
    plan = first_plan(problem)
    assert finishes(problem, plan) == {one.job: one.finish for one in plan.jobs}


def test_both_wait_for_people_who_are_busy() -> None:
    """Two cars, two bays, one person: the second car of eight hours is ready a day later."""
    problem = shop(
        job("J1", operation("a", 480), bay="B1"),
        job("J2", operation("b", 480), bay="B2"),
        bays=TWO_BAYS,
        people=(person("ann", "fab"),),
    )
    plan = first_plan(problem)
    assert sorted(finishes(problem, plan).values()) == [at(2, 17), at(3, 17)]  # type: ignore[type-var]
    assert {one.p50 for one in outlooks(problem, plan, draws()).values()} == {at(2, 17), at(3, 17)}


def test_work_goes_on_after_the_night_and_an_absence() -> None:
    away = person("ann", "fab", absences=(span(at(3), at(4)),))
    problem = shop(job("J1", operation("a", 600)), people=(away,))
    assert finishes(problem) == {"J1": at(4, 10)}


def test_the_plans_bay_is_kept_to_until_it_is_late_then_another_is_taken() -> None:
    """The plan has both cars in B1, the second from 13:00. Twice as long, the first has it until five;
    from 13:01 the second is late: eight hours from then, with the break on Tuesday."""
    problem = shop(job("J1", operation("a", 240)), job("J2", operation("b", 240)), bays=TWO_BAYS)
    one_bay = first_plan(replace(problem, bays=TWO_BAYS[:1]))
    first, second = sorted(one_bay.finish_of, key=lambda name: one_bay.finish_of[name].finish)
    assert finishes(problem, one_bay) == {first: at(2, 12), second: at(2, 17)}
    slow = Draws(spreading(0.0, mu=np.log(2)), 2)
    both = {first: at(2, 17), second: at(3, 13, 1)}
    assert finishes(problem, one_bay, slow) == both
    assert {name: one.p50 for name, one in outlooks(problem, one_bay, slow).items()} == both


def test_whoever_is_free_steps_in_for_what_is_late() -> None:
    """Ann is to do both; her first takes all day instead of the morning, so bob does the second."""
    problem = shop(job("J1", operation("a", 240)), job("J2", operation("b", 240)), bays=TWO_BAYS)
    only_ann = first_plan(replace(problem, people=problem.people[:1]))
    first, second = sorted(only_ann.finish_of, key=lambda name: only_ann.finish_of[name].finish)
    assert finishes(problem, only_ann) == {first: at(2, 12), second: at(2, 17)}
    slow = Draws(spreading(0.0, mu=np.log(2)), 2)
    both = {first: at(2, 17), second: at(3, 13, 1)}
    assert finishes(problem, only_ann, slow) == both
    assert {name: one.p50 for name, one in outlooks(problem, only_ann, slow).items()} == both


def test_nothing_is_begun_out_of_its_turn_while_the_plan_holds() -> None:
    """Ann waits an hour for the part of the first; the second, of two hours, would make it late."""
    waits = job("J1", operation("a", 60, "weld", parts_at=at(2, 9)), weight=50, due=at(2, 10))
    problem = shop(waits, job("J2", operation("b", 120, "weld"), due=at(31)), bays=TWO_BAYS)
    first = changed(first_plan(problem), "a", start=at(2, 9), end=at(2, 10))
    plan = changed(first, "b", start=at(2, 10), end=at(2, 12))
    in_turn = {"J1": at(2, 10), "J2": at(2, 12)}
    assert finishes(problem, plan) == in_turn
    assert {name: one.p50 for name, one in outlooks(problem, plan, draws()).items()} == in_turn


def test_a_second_person_has_to_be_there() -> None:
    """The look takes ann and bob; bob has four hours of his own first."""
    problem = shop(
        job("J1", operation("a", 60, "weld", crew=(Crew("inspect"),))),
        job("J2", operation("b", 240, "inspect", segment=None), segments=()),
    )
    plan = first_plan(problem)
    found = finishes(problem, plan)
    assert sorted(found.values()) == sorted(one.finish for one in plan.jobs)  # type: ignore[type-var]


def test_nobody_looks_at_their_own_work() -> None:
    both = (person("ann", "fab", "inspect"), person("bob", "inspect", absences=(span(at(2), at(3)),)))
    look = operation("b", 60, "inspect", after=("a",), not_same_person_as=("a",))
    problem = shop(job("J1", operation("a", 60), look), people=both)
    assert finishes(problem) == {"J1": at(3, 9)}


def test_a_car_that_does_not_roll_keeps_its_bay_until_it_has_the_next() -> None:
    """The rack is closed on Tuesday: the first car blocks B1 until Wednesday, and the second waits."""
    segments = (Segment("main", frozenset({"fab"}), rolls=False), Segment("rack", frozenset({"rack"})))
    problem = shop(
        job("J1", operation("a", 480), operation("r", 60, after=("a",), segment="rack"), segments=segments),
        job("J2", operation("b", 60)),
        bays=(bay("B1", "fab"), bay("R", "rack", down=(span(at(3), at(4)),))),
    )
    plan = first_plan(problem)
    first = plan.of["a"].start < plan.of["b"].start
    found = finishes(problem, plan)
    assert found == ({"J1": at(4, 9), "J2": at(4, 9)} if first else {"J1": at(4, 9), "J2": at(2, 9)})


def test_two_cars_in_each_others_way_are_rolled_out_of_it() -> None:
    """Each stands in the bay that the other needs next, and neither rolls."""
    here, there = frozenset({"fab"}), frozenset({"rack"})
    one = (Segment("x", here, "B1", rolls=False), Segment("y", there))
    two = (Segment("x", there, "R", rolls=False), Segment("y", here))
    cars = [
        job(
            name,
            operation(f"{name}1", 60, segment="x"),
            operation(f"{name}2", 60, after=(f"{name}1",), segment="y"),
            segments=segments,
        )
        for name, segments in (("J1", one), ("J2", two))
    ]
    problem = shop(*cars, bays=(bay("B1", "fab"), bay("R", "rack")))
    rolling = tuple(
        replace(car, segments=tuple(replace(part, rolls=True) for part in car.segments)) for car in cars
    )
    assert set(finishes(problem, first_plan(replace(problem, jobs=rolling)))) == {"J1", "J2"}


def test_the_same_seed_plays_the_same_and_spread_makes_it_spread() -> None:
    problem = shop(job("J1", operation("a", 300)), job("J2", operation("b", 300)), bays=TWO_BAYS)
    plan, about = first_plan(problem), spreading(0.3)
    one, two = (simulated(problem, plan, draws(about, 60)) for _n in range(2))
    assert all(np.array_equal(one[name], two[name]) for name in one)
    assert np.std(one["J1"]) > 0


def test_both_forecasts_agree_where_nobody_has_to_wait_for_anybody() -> None:
    problem = shop(job("J1", operation("a", 300), operation("b", 300, after=("a",))))
    plan, sample = first_plan(problem), Draws(Uncertainty(), 200, 5)
    assert np.array_equal(
        simulated(problem, plan, sample)["J1"], outlooks(problem, plan, sample)["J1"].finishes
    )

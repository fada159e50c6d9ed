"""Work that others must do, where there are too few people; and a car for which there is no way at all."""

from jobs.planning.apart import too_few_people
from jobs.planning.problem import Status
from jobs.planning.search import search
from tests.jobs.planning.small_shop import (
    LIMITS,
    at,
    bay,
    first_plan,
    job,
    operation,
    person,
    planned,
    shop,
    span,
)


def test_a_weld_that_nobody_else_may_judge_is_told_and_the_rest_planned() -> None:
    car = job(
        "J1",
        operation("weld", skill="weld"),
        operation("judge", skill="weld", after=("weld",), not_same_person_as=("weld",)),
        bay="B1",
    )
    found = planned(shop(car, job("J2", operation("c"))))
    assert str(found.faults[0]) == (
        "J1, judge: has to be done by somebody else than weld, and besides ann there is nobody with the "
        "skill “weld”. Qualify somebody else for “weld”"
    )
    assert [one.op for one in found.plan.assignments] == ["weld", "c"]


def test_whoever_has_it_in_hand_is_counted() -> None:
    runs = operation("a", status=Status.RUNNING, person="ann", started=at(2, 8), remaining_minutes=60)
    car = job("J1", runs, operation("b", skill="weld", not_same_person_as=("a",)), bay="B1")
    assert [one.operation for one in too_few_people(shop(car))] == ["b"]
    two = (person("ann", "fab", "weld"), person("bob", "fab", "weld"))
    assert list(too_few_people(shop(car, people=two))) == []


def test_three_in_a_ring_take_three_people() -> None:
    ring = [operation(n, not_same_person_as=tuple({"a", "b", "c"} - {n})) for n in "abc"]
    assert [one.operation for one in too_few_people(shop(job("J1", *ring)))] == ["c"]


def test_a_car_for_which_there_is_no_way_is_named_and_the_others_are_planned() -> None:
    stuck = job("J1", operation("a", 240), operation("b", 240, after=("a",), parts_at=at(9)), bay="B1")
    closes = bay("B1", "fab", down=(span(at(5), at(6)),))
    found = search(shop(stuck, job("J2", operation("c")), bays=(closes, bay("B2", "fab"))), LIMITS)
    words = [str(one) for one in found.faults]
    assert any("J1: stands in B1, which closes on Thursday 5 March 2026" in one for one in words), words
    assert [one.op for one in found.plan.assignments] == ["c"]


def test_four_hundred_cars_have_a_plan_and_each_its_date() -> None:
    cars = [job(f"J{n}", operation(f"{n}a"), operation(f"{n}b", 60, after=(f"{n}a",))) for n in range(400)]
    problem = shop(*cars, bays=tuple(bay(f"B{n}", "fab") for n in range(4)))
    plan = first_plan(problem)
    assert len(plan.jobs) == 400


def test_work_that_waits_for_itself_is_told_and_the_rest_planned() -> None:
    ring = job("J1", operation("a", after=("b",)), operation("b", after=("a",)))
    found = planned(shop(ring, job("J2", operation("c"))))
    assert "J1, a: waits for itself: a, b come after each other in a circle" in str(found.faults[0])
    assert [one.op for one in found.plan.assignments] == ["c"]

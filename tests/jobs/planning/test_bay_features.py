"""What an operation takes of its bay: where the car goes, what the checker says, and the way out."""

from dataclasses import replace

from jobs.planning.checker import breaches
from jobs.planning.problem import Problem, Segment
from tests.jobs.planning.small_shop import bay, changed, job, operation, planned, shop

MAIN = (Segment("main", frozenset({"stands"})),)
LIFT, OUTLET = frozenset({"lift"}), frozenset({"welding outlet"})
BAYS = (bay("B1", "stands"), bay("B2", "stands", "lift"), bay("B3", "stands", "lift", "welding outlet"))


def a_shop(**more: object) -> Problem:
    car = job(
        "J1",
        operation("a", bay_features=LIFT),
        operation("b", after=("a",), bay_features=OUTLET),
        segments=MAIN,
    )
    other = job("J2", operation("c"), segments=MAIN)
    return replace(shop(car, other, bays=BAYS), **more)  # type: ignore[arg-type]


def test_a_car_goes_where_all_is_that_its_operations_take() -> None:
    found = planned(a_shop())
    assert {found.plan.of[one].bay for one in "ab"} == {"B3"}
    assert found.faults == ()


def test_the_checker_finds_an_operation_in_a_bay_that_lacks_something() -> None:
    plan = planned(a_shop()).plan
    moved = changed(changed(plan, "a", bay="B2"), "b", bay="B2")
    told = [str(one) for one in breaches(a_shop(), moved)]
    assert told == ["rule 5, b: B2 has not what it takes: welding outlet"]


def test_where_no_bay_has_it_all_the_nearest_is_named_and_the_rest_planned() -> None:
    found = planned(a_shop(bays=BAYS[:2]))
    assert [str(one) for one in found.faults[:1]] == [
        "J1, a: no bay has what “main” takes: lift (for a), stands, welding outlet (for b). B2 comes nearest "
        "and lacks welding outlet. Equip a bay, or take the feature off the operation or its stage"
    ]
    assert [one.op for one in found.plan.assignments] == ["c"]


def test_a_car_that_stands_somewhere_is_planned_there() -> None:
    stands = (Segment("main", frozenset({"stands"}), "B1"),)
    car = job("J1", operation("a", bay_features=LIFT), segments=stands)
    assert planned(shop(car, bays=BAYS)).plan.of["a"].bay == "B1"


def test_a_stay_that_cannot_be_finished_is_not_begun() -> None:
    rack = Segment("rack", frozenset({"plates"}))
    main = Segment("main", frozenset(), "B1")
    car = job(
        "J1",
        operation("a"),
        operation("b", segment="rack", after=("a",)),
        operation("c", segment="rack", skill="nobody", after=("b",)),
        segments=(main, rack),
    )
    found = planned(shop(car, bays=(bay("B1"), bay("R", "plates"))))
    assert [one.op for one in found.plan.assignments] == ["a"]

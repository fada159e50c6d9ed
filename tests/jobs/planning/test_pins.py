"""Pins that cannot all be honoured: a smallest set is named, nothing else, and all else is planned."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.planning.pins import smallest
from jobs.planning.plan import Proposal
from jobs.planning.problem import Pin, PinKind, Problem, Status
from tests.jobs.planning.small_shop import NOW, at, bay, job, operation, person, planned, shop, span

PINS = tuple(Pin(str(number), PinKind.NEXT_UP, job=f"J{number}") for number in range(6))
TWO_BAYS = (bay("B1", "fab"), bay("B2", "fab"))


@given(st.sets(st.frozensets(st.integers(0, 5), min_size=1), min_size=1, max_size=5))
@settings(max_examples=150, deadline=None)
def test_no_smaller_set_clashes_than_the_one_that_is_named(clashes: set[frozenset[int]]) -> None:
    """Against trying every set: whatever holds a clash clashes."""

    def honoured(pins: Sequence[Pin]) -> bool:
        return not any(clash <= {PINS.index(pin) for pin in pins} for clash in clashes)

    found = smallest(PINS, honoured)
    tried = (few for size in range(1, 7) for few in combinations(PINS, size))
    assert len(found) == len(next(few for few in tried if not honoured(few)))
    assert not honoured(found)


def does(who: str, what: str) -> Pin:
    return Pin(f"{who} {what}", PinKind.PERSON, operation=what, person=who)


def test_three_pins_that_leave_nobody_for_a_fourth_work_are_named() -> None:
    """Any two of them would leave somebody who may judge what the others made."""
    made = [operation(name, 60) for name in "abc"]
    judged = operation("d", 60, after=("a", "b", "c"), not_same_person_as=("a", "b", "c"))
    people = tuple(person(name, "fab") for name in ("ann", "bob", "cat"))
    pins = does("ann", "a"), does("bob", "b"), does("cat", "c"), Pin("x", PinKind.NOT_BEFORE, "J2", at=at(3))
    problem = shop(job("J1", *made, judged), job("J2", operation("e")), people=people, bays=TWO_BAYS)
    found = planned(replace(problem, pins=pins))
    assert found.clashing_pins == ("ann a", "bob b", "cat c")
    assert found.plan.of["e"].start >= at(3)
    for one in pins[:3]:
        rest = tuple(pin for pin in pins if pin is not one)
        assert planned(replace(problem, pins=rest)).clashing_pins == ()


def pinned(problem: Problem, *pins: Pin) -> Proposal:
    return planned(replace(problem, pins=pins))


RUNS = operation("a", status=Status.RUNNING, person="ann", started=NOW, remaining_minutes=60)


@pytest.mark.parametrize(
    "wrong",
    [
        does("bob", "a"),  # ann has it in hand
        Pin("bay", PinKind.BAY, job="J1", bay="B2"),  # it stands in B1
        does("ann", "timed"),  # which takes nobody
    ],
)
def test_a_pin_against_what_stands_is_named_alone(wrong: Pin) -> None:
    timed = operation("timed", 60, None, segment=None)
    problem = shop(job("J1", RUNS, bay="B1"), job("J2", operation("b"), timed), bays=TWO_BAYS)
    right = Pin("right", PinKind.BAY, job="J2", bay="B2")
    found = pinned(problem, right, wrong)
    assert found.clashing_pins == (wrong.id,)
    assert (set(found.plan.of), found.plan.of["b"].bay) == ({"a", "b", "timed"}, "B2")


def test_a_pin_on_a_car_that_is_lost_without_it_is_not_blamed() -> None:
    closes = bay("B1", "fab", down=(span(at(5), at(6)),))
    stuck = job("J1", operation("a", 240), operation("b", 240, after=("a",), parts_at=at(9)), bay="B1")
    problem = shop(stuck, job("J2", operation("c")), bays=(closes, TWO_BAYS[1]))
    found = pinned(problem, does("ann", "a"), does("bob", "c"))
    assert found.clashing_pins == ()
    assert found.plan.of["c"].person == "bob"


def test_a_pin_on_what_is_not_there_is_told() -> None:
    found = pinned(shop(job("J1", operation("a"))), Pin("9", PinKind.NEXT_UP, job="J9"), does("ann", "zz"))
    assert set(found.plan.of) == {"a"}
    assert [str(one) for one in found.faults] == [
        "9: there is no car “J9”. Take the pin away",
        "ann zz: there is no operation “zz”. Take the pin away",
    ]

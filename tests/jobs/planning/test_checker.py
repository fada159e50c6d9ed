"""The checker lets good plans through and finds each rule that a plan breaks."""

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.planning.checker import breaches
from jobs.planning.objective import objective_of
from jobs.planning.plan import Assignment, JobFinish, Plan
from jobs.planning.problem import (
    Calendar,
    Certificate,
    Crew,
    Instrument,
    Pin,
    PinKind,
    Problem,
    Segment,
    Shift,
    Span,
    Status,
)
from jobs.planning.working import Working
from tests.jobs.planning.small_shop import (
    at,
    bay,
    changed,
    first_plan,
    job,
    moved,
    operation,
    person,
    shop,
)


def rules(problem: Problem, plan: Plan) -> set[int]:
    return {one.rule for one in breaches(problem, plan)}


def plan(problem: Problem, *assignments: Assignment) -> Plan:
    """A plan written by hand, with finishes that follow from it."""
    finishes = []
    for one in problem.jobs:
        ends = [each.end for each in assignments if problem.job_of[each.op] is one]
        if ends:
            late = max(0, int((max(ends) - one.due).total_seconds()) // 60)
            finishes.append(JobFinish(one.id, max(ends), late))
    return Plan("small", assignments, tuple(finishes))


def did(op: str, who: str | None, *when: dt.datetime, where: str | None = "B1", **more: object) -> Assignment:
    return Assignment(op, who, where, *when, **more)  # type: ignore[arg-type]


TWO = shop(
    job("J1", operation("a"), operation("b", after=("a",))),
    job("J2", operation("c", segment=None)),
)
GOOD = plan(
    TWO,
    did("a", "ann", at(2, 8), at(2, 10)),
    did("b", "ann", at(2, 10), at(2, 12)),
    did("c", "bob", at(2, 11), at(2, 14), where=None),
)


def test_a_good_plan_breaks_nothing() -> None:
    assert breaches(TWO, GOOD) == []


@pytest.mark.parametrize(
    ("broken", "rule"),
    [
        (replace(GOOD, instance="other"), 0),
        (replace(GOOD, assignments=GOOD.assignments[1:]), 0),
        (replace(GOOD, assignments=(*GOOD.assignments, GOOD.assignments[0])), 0),
        (changed(GOOD, "a", person="eve"), 0),
        (changed(GOOD, "a", bay="B9"), 0),
        (moved(GOOD, "c", hours=1), 1),
        (changed(GOOD, "c", end=at(2, 13)), 1),
        (changed(GOOD, "c", person="ann"), 2),
        (changed(GOOD, "c", person=None), 2),
        (moved(GOOD, "a", days=-3), 4),
        (moved(GOOD, "b", hours=-1), 4),
        (changed(GOOD, "c", bay="B1"), 5),
        (changed(GOOD, "a", bay=None), 5),
        (replace(GOOD, jobs=GOOD.jobs[1:]), 6),
        (replace(GOOD, jobs=(replace(GOOD.jobs[0], finish=at(2, 11)), GOOD.jobs[1])), 6),
        (replace(GOOD, jobs=(replace(GOOD.jobs[0], tardy_minutes=5), GOOD.jobs[1])), 6),
    ],
)
def test_a_plan_broken_on_purpose_is_found(broken: Plan, rule: int) -> None:
    assert rule in rules(TWO, broken)


def one_operation(problem: Problem, *times: dt.datetime, **more: object) -> set[int]:
    who = more.pop("who", "ann")
    return rules(problem, plan(problem, did("a", who, *times, **more)))  # type: ignore[arg-type]


def test_release_parts_and_absence_are_waited_for() -> None:
    late = shop(job("J1", operation("a"), release=at(3, 8)))
    assert one_operation(late, at(2, 8), at(2, 10)) == {4}
    parts = shop(job("J1", operation("a", parts_at=at(2, 9))))
    assert one_operation(parts, at(2, 8), at(2, 10)) == {4}
    away = person("ann", "fab", absences=(Span(at(2, 9), at(2, 11)),))
    assert one_operation(shop(job("J1", operation("a")), people=(away,)), at(2, 8), at(2, 10)) == {1}
    assert one_operation(shop(job("J1", operation("a")), people=(away,)), at(2, 8), at(2, 12)) == set()


def test_one_date_and_no_interruption() -> None:
    days = shop(job("J1", operation("a", 240, same_day=True)))
    assert one_operation(days, at(2, 14), at(3, 9)) == {1}
    assert one_operation(days, at(2, 10), at(2, 15)) == set()
    whole = shop(job("J1", operation("a", 240, unbroken=True)))
    assert one_operation(whole, at(2, 10), at(2, 15)) == {1}
    assert one_operation(whole, at(2, 13), at(2, 17)) == set()


def test_a_skill_has_to_be_held_on_every_day() -> None:
    welder = person("ann", certificates=(Certificate("fab", None, at(2).date()),))
    problem = shop(job("J1", operation("a", 240)), people=(welder, person("bob", "fab")))
    assert one_operation(problem, at(2, 8), at(2, 12)) == set()
    assert one_operation(problem, at(2, 14), at(3, 9)) == {2}


def test_others_are_others() -> None:
    watched = shop(
        job("J1", operation("a"), operation("b", skill="inspect", not_same_person_as=("a",), after=("a",)))
    )
    done = did("a", "bob", at(2, 8), at(2, 10)), did("b", "bob", at(2, 10), at(2, 12))
    assert rules(watched, plan(watched, *done)) == {2}
    crew = shop(job("J1", operation("a", skill="weld", crew=(Crew("inspect"),))))
    assert one_operation(crew, at(2, 8), at(2, 10), others=("bob",)) == set()
    assert one_operation(crew, at(2, 8), at(2, 10)) == {2}
    assert one_operation(crew, at(2, 8), at(2, 10), others=("ann",)) == {2}


def test_what_follows_at_once_begins_at_that_instant() -> None:
    problem = shop(job("J1", operation("a"), operation("b", 60, at_once_after="a")))
    weld = did("a", "ann", at(2, 8), at(2, 10))
    assert rules(problem, plan(problem, weld, did("b", "bob", at(2, 10), at(2, 11)))) == set()
    assert rules(problem, plan(problem, weld, did("b", "bob", at(2, 11), at(2, 12)))) == {4}


def test_an_instrument_that_is_out_is_missed() -> None:
    gauges = Instrument("1", "gauge", (Span(at(2), at(3)),)), Instrument("2", "gauge", (Span(at(2), at(4)),))
    problem = shop(job("J1", operation("a", instruments=("gauge",))), instruments=gauges)
    assert one_operation(problem, at(2, 8), at(2, 10)) == {4}
    assert one_operation(problem, at(3, 8), at(3, 10)) == set()


def test_what_runs_stays() -> None:
    started = at(2, 8) - dt.timedelta(days=3)
    running = operation("a", status=Status.RUNNING, person="ann", started=started, remaining_minutes=60)
    problem = shop(job("J1", running, bay="B1"), bays=(bay("B1", "fab"), bay("B2", "fab")))
    assert one_operation(problem, started, at(2, 9)) == set()
    assert one_operation(problem, started, at(2, 10)) == {3}
    assert one_operation(problem, started, at(2, 9), who="bob") == {3}
    assert one_operation(problem, at(2, 8), at(2, 9)) == {3}
    assert one_operation(problem, started, at(2, 9), where="B2") == {5}


def test_bays_hold_one_car_through_the_night() -> None:
    problem = shop(
        job("J1", operation("a"), operation("b", after=("a",))),
        job("J2", operation("c")),
        bays=(bay("B1", "fab"), bay("B2", "paint"), bay("B3", "fab", down=(Span(at(7), at(8)),))),
    )
    first = did("a", "ann", at(2, 8), at(2, 10))
    other = did("c", "bob", at(2, 10), at(2, 12))
    over = did("b", "ann", at(3, 8), at(3, 10))
    assert rules(problem, plan(problem, first, over, other)) == {5}
    free = replace(other, bay="B3")
    assert rules(problem, plan(problem, first, over, free)) == set()
    assert rules(problem, plan(problem, first, replace(over, bay="B3"), free)) == {5}
    assert rules(problem, plan(problem, first, over, replace(other, bay="B2"))) == {5}
    weekend = (
        did("a", "ann", at(6, 15), at(6, 17), where="B3"),
        did("b", "ann", at(9, 8), at(9, 10), where="B3"),
    )
    assert rules(problem, plan(problem, *weekend, other)) == {5}


def test_a_car_that_does_not_roll_keeps_its_bay() -> None:
    segments = Segment("main", frozenset({"fab"}), None, rolls=False), Segment("rack", frozenset({"rack"}))
    problem = shop(
        job("J1", operation("a"), operation("b", segment="rack", after=("a",)), segments=segments),
        job("J2", operation("c")),
        bays=(bay("B1", "fab"), bay("B2", "rack")),
    )
    first, rack = did("a", "ann", at(2, 8), at(2, 10)), did("b", "ann", at(3, 8), at(3, 10), where="B2")
    assert rules(problem, plan(problem, first, rack, did("c", "bob", at(2, 10), at(2, 12)))) == {5}
    assert rules(problem, plan(problem, first, rack, did("c", "bob", at(3, 8), at(3, 10)))) == set()


@pytest.mark.parametrize(
    "pin",
    [
        Pin("p", PinKind.BAY, job="J1", bay="B2"),
        Pin("p", PinKind.PERSON, operation="a", person="bob"),
        Pin("p", PinKind.NOT_BEFORE, job="J1", at=at(3, 8)),
        Pin("p", PinKind.NOT_BEFORE, operation="a", at=at(3, 8)),
        Pin("p", PinKind.NEXT_UP, job="J2"),
    ],
)
def test_a_pin_that_is_not_kept_is_found(pin: Pin) -> None:
    bays = bay("B1", "fab"), bay("B2", "fab")
    problem = shop(job("J1", operation("a")), job("J2", operation("c")), bays=bays, pins=(pin,))
    made = plan(
        problem,
        did("a", "ann", at(2, 8), at(2, 10)),
        did("c", "bob", at(2, 10), at(2, 12), where="B2"),
    )
    assert rules(problem, made) == {7}
    assert breaches(problem, first_plan(problem)) == []


@given(start=st.integers(0, 3000), minutes=st.integers(1, 2000), hour=st.just(60))
@settings(max_examples=60, deadline=None)
def test_an_hour_more_never_brings_a_date_forward(start: int, minutes: int, hour: int) -> None:
    """The same person, the same start: what takes longer ends later."""
    away = person("ann", "fab", absences=(Span(at(4, 10), at(5, 9)),))
    working = Working(shop(people=(away,)))
    begins = at(2) + dt.timedelta(minutes=start)
    assert working.end(["ann"], begins, minutes) < working.end(["ann"], begins, minutes + hour)


@given(
    links=st.lists(st.tuples(st.integers(0, 600), st.sampled_from(["ann", "bob"])), min_size=1, max_size=6),
    more=st.integers(0, 5),
)
@settings(max_examples=40, deadline=None)
def test_an_hour_more_in_a_chain_never_brings_its_end_forward(
    links: list[tuple[int, str]], more: int
) -> None:
    """Works one after another, each begun at the first working instant: whichever of them takes longer."""
    people = person("ann", "fab", absences=(Span(at(3), at(4, 10)),)), person("bob", "fab")
    working = Working(shop(people=people))

    def ended(lengths: list[int]) -> dt.datetime:
        now = at(2, 8)
        for minutes, (_, who) in zip(lengths, links, strict=True):
            while not working.is_working([who], now):
                now += dt.timedelta(minutes=15)
            now = working.end([who], now, minutes - minutes % 15)
        return now

    plain = [minutes for minutes, _ in links]
    longer = [minutes + 60 * (number == more % len(links)) for number, minutes in enumerate(plain)]
    assert ended(plain) <= ended(longer)


def test_a_night_with_a_clock_change_is_as_long_as_its_clock_times() -> None:
    """Times are naive: on 29 March 2026 clocks go from 2 to 3, and the shift from 0 to 6 counts six hours."""
    nights = Calendar("standard", ((),) * 6 + ((Shift(0, 360),),))
    working = Working(shop(calendars=(nights,)))
    assert working.end(["ann"], at(29), 360) == at(29, 6)


def test_the_objective_is_flow_and_weighted_lateness_in_slots() -> None:
    """By hand: J1 ends after 4 h (16 slots) due after 2 h, weight 3; J2 after 5 h (20 slots), in time."""
    problem = shop(job("J1", operation("a", 240), due=at(2, 10), weight=3), job("J2", operation("c", 300)))
    made = plan(problem, did("a", "ann", at(2, 8), at(2, 12)), did("c", "bob", at(2, 8), at(2, 14)))
    assert objective_of(problem, made) == 16 + 10 * 3 * 8 + 20

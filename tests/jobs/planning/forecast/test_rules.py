"""Both forecasts keep the plan's own rules where things go otherwise than planned; days worked out by hand.

All work takes twice as long as planned, for certain, so that each sample is the same day: what was to be
done on Monday afternoon comes to Tuesday.
"""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from jobs.planning.forecast.draws import Draws
from jobs.planning.forecast.hours import Clock
from jobs.planning.forecast.outlook import outlooks
from jobs.planning.forecast.simulating import simulated
from jobs.planning.plan import Plan
from jobs.planning.problem import Calendar, Certificate, Instrument, Pin, PinKind, Problem, Shift, Status
from tests.jobs.planning.forecast.certain import AS_PLANNED, spreading
from tests.jobs.planning.small_shop import at, bay, changed, first_plan, job, operation, person, shop, span

TWO_BAYS = (bay("B1", "fab"), bay("B2", "fab"))
SLOW = Draws(spreading(0.0, mu=np.log(2)), 2)
USUAL = Draws(AS_PLANNED, 2)


def ready(problem: Problem, plan: Plan | None = None, sample: Draws = SLOW) -> dict[str, dt.datetime]:
    """The one date of each car, on which both forecasts agree."""
    plan, clock = plan or first_plan(problem), Clock(problem)
    quick = {name: one.p50 for name, one in outlooks(problem, plan, sample, clock).items()}
    played = {name: clock.moment(times[0]) for name, times in simulated(problem, plan, sample, clock).items()}
    assert quick == played
    return quick


def by_hand(problem: Problem, *rows: tuple[str, str, str | None, dt.datetime, dt.datetime]) -> Plan:
    """The first plan with operations moved: name, person, bay, from, to."""
    plan = first_plan(replace(problem, pins=()))
    for name, who, where, starts, ends in rows:
        plan = changed(plan, name, person=who, bay=where, start=starts, end=ends)
    return plan


def one_after_another(*pins: Pin) -> tuple[Problem, Plan]:
    """Ann does a in B1 on Monday morning and b there in the afternoon; bob and B2 have nothing to do."""
    problem = shop(job("J1", operation("a", 240)), job("J2", operation("b", 240)), bays=TWO_BAYS, pins=pins)
    plan = by_hand(
        problem,
        ("a", "ann", "B1", at(2, 8), at(2, 12)),
        ("b", "ann", "B1", at(2, 13), at(2, 17)),
    )
    return problem, plan


def test_without_a_pin_another_steps_in_and_another_bay_is_taken() -> None:
    assert ready(*one_after_another()) == {"J1": at(2, 17), "J2": at(3, 13, 1)}


@pytest.mark.parametrize(
    "pin",
    [
        Pin("p", PinKind.BAY, job="J2", bay="B1"),
        Pin("p", PinKind.BAY, job="J2", bay="B1", segment="main"),
        Pin("p", PinKind.PERSON, operation="b", person="ann"),
    ],
    ids=["bay", "segment", "person"],
)
def test_a_pin_on_a_bay_or_a_person_holds_where_it_makes_the_car_late(pin: Pin) -> None:
    """B1 and ann are free at five on Monday; eight hours of work are all of Tuesday."""
    assert ready(*one_after_another(pin)) == {"J1": at(2, 17), "J2": at(3, 17)}


def test_a_pin_on_a_bay_means_the_first_stay_though_work_on_the_bench_comes_before() -> None:
    problem, _plan = one_after_another(Pin("p", PinKind.BAY, job="J2", bay="B1"))
    bench = operation("x", 30, segment=None)
    problem = replace(problem, jobs=(problem.jobs[0], job("J2", bench, operation("b", 240, after=("x",)))))
    plan = by_hand(
        problem,
        ("a", "ann", "B1", at(2, 8), at(2, 12)),
        ("x", "bob", None, at(2, 8), at(2, 8, 30)),
        ("b", "ann", "B1", at(2, 13), at(2, 17)),
    )
    assert ready(problem, plan)["J2"] == at(3, 17)


@pytest.mark.parametrize("where", [{"job": "J1"}, {"operation": "a"}])
def test_nothing_is_begun_before_the_day_that_the_manager_has_pinned(where: dict[str, str]) -> None:
    pin = Pin("p", PinKind.NOT_BEFORE, at=at(4, 8), **where)  # type: ignore[arg-type]
    problem = shop(job("J1", operation("a", 240)), pins=(pin,))
    assert ready(problem, sample=USUAL) == {"J1": at(4, 12)}
    assert ready(problem) == {"J1": at(4, 17)}


def test_no_car_goes_into_a_bay_before_the_one_that_is_next_up() -> None:
    """The bench work before a takes all Monday. Bob and B2 are free for b from eight on, and wait for a."""
    first = job("J1", operation("x", 240, segment=None), operation("a", 60, after=("x",)))
    pin = Pin("p", PinKind.NEXT_UP, job="J1")
    problem = shop(first, job("J2", operation("b", 60)), bays=TWO_BAYS)
    plan = by_hand(
        problem,
        ("x", "ann", None, at(2, 8), at(2, 12)),
        ("a", "ann", "B1", at(2, 13), at(2, 14)),
        ("b", "bob", "B2", at(2, 13), at(2, 14)),
    )
    assert ready(problem, plan) == {"J1": at(3, 10), "J2": at(2, 10)}
    assert ready(replace(problem, pins=(pin,)), plan) == {"J1": at(3, 10), "J2": at(3, 10)}


def welded(until: dt.date | None, *others: dt.date, **more: object) -> Problem:
    """Four hours of fabrication, then four of welding: by ann on her certificate, or by wes who is away."""
    ann = person("ann", "fab", certificates=(Certificate("weld", valid_until=until),))
    away = tuple(span(at(day.day), at(day.day + 1)) for day in others)
    wes = person("wes", "weld", absences=away)
    steps = operation("a", 240), operation("w", 240, "weld", after=("a",))
    return shop(job("J1", *steps), people=(ann, wes) if others else (ann,), **more)


MONDAY, TUESDAY = at(2).date(), at(3).date()


def test_a_certificate_that_lapses_leaves_the_work_to_whoever_has_one() -> None:
    """Late on Tuesday: ann may no more, and wes comes on Wednesday. With a day more she does it."""
    assert ready(welded(MONDAY, MONDAY, TUESDAY), sample=USUAL) == {"J1": at(2, 17)}
    assert ready(welded(MONDAY, MONDAY, TUESDAY)) == {"J1": at(4, 17)}
    assert ready(welded(TUESDAY, MONDAY, TUESDAY)) == {"J1": at(3, 17)}


def test_one_who_is_pinned_to_it_may_not_either() -> None:
    pin = Pin("p", PinKind.PERSON, operation="w", person="ann")
    assert ready(welded(MONDAY, MONDAY, TUESDAY, pins=(pin,))) == {"J1": at(4, 17)}


def test_the_last_certificate_of_all_counts_as_renewed_as_in_the_plan() -> None:
    assert ready(welded(MONDAY)) == {"J1": at(3, 17)}


def test_a_certificate_is_waited_for() -> None:
    later = Certificate("weld", valid_from=at(5).date())
    problem = shop(
        job("J1", operation("w", 120, "weld")), people=(person("ann", "fab", certificates=(later,)),)
    )
    assert ready(problem, sample=USUAL) == {"J1": at(5, 10)}
    assert ready(problem) == {"J1": at(5, 12)}


def measured(*instruments: Instrument) -> Problem:
    steps = operation("a", 240), operation("m", 120, after=("a",), instruments=("tape",))
    return shop(job("J1", *steps), instruments=instruments)


def test_an_instrument_out_for_calibration_is_waited_for() -> None:
    """Out on Tuesday, when the work comes to it; with a second one in, nobody waits."""
    out = Instrument("t1", "tape", (span(at(3), at(4)),))
    assert ready(measured(out), sample=USUAL) == {"J1": at(2, 15)}
    assert ready(measured(out)) == {"J1": at(4, 12)}
    assert ready(measured(out, Instrument("t2", "tape"))) == {"J1": at(3, 12)}


def test_what_takes_nobody_waits_for_its_instrument_too() -> None:
    out = Instrument("t1", "tape", (span(at(3), at(4)),))
    problem = measured(out)
    alone = replace(problem.jobs[0].operations[1], skill=None)
    problem = replace(problem, jobs=(job("J1", problem.jobs[0].operations[0], alone),))
    assert ready(problem) == {"J1": at(4, 12)}


def test_an_instrument_is_used_as_soon_as_it_is_back() -> None:
    out = Instrument("t1", "tape", (span(at(3), at(3, 14)),))
    assert ready(measured(out)) == {"J1": at(4, 9)}


def test_what_must_not_be_broken_off_waits_for_the_afternoon() -> None:
    """Ready at ten, two and a half hours by the plan: from one on, and then it takes five."""
    steps = operation("a", 60), operation("u", 150, after=("a",), unbroken=True)
    problem = shop(job("J1", *steps))
    assert ready(problem) == {"J1": at(3, 9)}


def test_nobody_steps_in_for_a_look_at_their_own_work_that_is_done() -> None:
    """Ann did a. Bob is late with his own work; she is free, and must not look at it."""
    done = operation("a", 60, status=Status.DONE, person="ann")
    look = operation("i", 60, "inspect", after=("a",), not_same_person_as=("a",))
    mine = operation("b", 240, "inspect", segment=None)
    people = (person("ann", "fab", "inspect"), person("bob", "inspect"))
    problem = shop(job("J1", done, look), job("J2", mine, segments=()), people=people)
    plan = by_hand(problem, ("b", "bob", None, at(2, 8), at(2, 12)), ("i", "bob", "B1", at(2, 13), at(2, 14)))
    assert ready(problem, plan) == {"J1": at(3, 10), "J2": at(2, 17)}


def test_whoever_stepped_in_does_not_look_at_it() -> None:
    """Ann is at x until Tuesday evening, so bob welds for her; the look that was his is then hers."""
    steps = (
        operation("w", 60, "weld"),
        operation("i", 60, "inspect", after=("w",), not_same_person_as=("w",)),
    )
    long = operation("x", 480, "weld", segment=None)
    people = (person("ann", "weld", "inspect"), person("bob", "weld", "inspect"))
    problem = shop(job("J0", long, segments=()), job("J1", *steps), people=people)
    plan = by_hand(
        problem,
        ("x", "ann", None, at(2, 8), at(2, 17)),
        ("w", "ann", "B1", at(3, 8), at(3, 9)),
        ("i", "bob", "B1", at(3, 9), at(3, 10)),
    )
    assert ready(problem, plan) == {"J0": at(3, 17), "J1": at(4, 10)}


@pytest.mark.parametrize("evening", ["2026-03-28T22:00", "2026-10-24T22:00"])
def test_a_shift_over_a_change_of_the_clocks_is_as_long_as_its_clock_times_say(evening: str) -> None:
    """Seven hours from ten in the evening are over at five, whatever the night of the change had."""
    now = dt.datetime.fromisoformat(evening)
    night = Calendar("night", ((),) * 5 + ((Shift(22 * 60, 24 * 60),), (Shift(0, 6 * 60),)))
    people = (person("ann", "fab", calendar="night"),)
    problem = shop(job("J1", operation("a", 420)), people=people, calendars=(night,), now=now)
    assert ready(problem, sample=USUAL) == {"J1": now + dt.timedelta(hours=7)}

"""The lists of the plan's pages: cars by what is to be done, dates three times over, faults once."""

import datetime as dt
from dataclasses import fields
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.desk.plan_cars import CarList, Standing
from jobs.desk.plan_faults import fault_lines
from jobs.desk.plan_lines import CarLine
from jobs.desk.plan_moves import CarDates
from jobs.desk.question_pages import half_days
from jobs.models import Job, PlannedCar
from jobs.planning.forecast.spread import Done
from jobs.plans.hours import Clock
from shop.models import Customer, Vehicle

DAY = dt.date(2026, 3, 10)
CLOCK = Clock(ZoneInfo("America/Chicago"))


def days(number: int) -> dt.date:
    return DAY + dt.timedelta(days=number)


def car(number: int, ready: int, promised: int | None, chance: float | None = None) -> CarLine:
    owner = Customer(name="Juno Fairlead")
    vehicle = Vehicle(description="Corvane Bowline", model_year=1964, serial="4B-7", plate="DEMO 3")
    job = Job(number=number, customer=owner, vehicle=vehicle)
    job.promised_on = None if promised is None else days(promised)
    ready_at = CLOCK.moment(dt.datetime.combine(days(ready), dt.time(12)))
    return CarLine(PlannedCar(job=job, ready_at=ready_at, promise_chance=chance), CLOCK)


def test_what_needs_somebody_comes_first() -> None:
    cars = (
        car(1001, 1, 2, 0.95),
        car(1002, 9, 2, 0.01),
        car(1003, 3, 4, 0.4),
        car(1004, 20, 2, 0.0),
        car(1005, 2, None),
        car(1006, 3, 4, 0.79),
        car(1007, 0, 1, None),
    )
    found = {group.standing: [c.row.job.number for c in group.cars] for group in CarList(cars).groups}
    assert list(found) == [Standing.LATE, Standing.RISK, Standing.KEPT, Standing.NO_DATE]
    assert found[Standing.LATE] == [1004, 1002]
    assert found[Standing.RISK] == [1003, 1006]
    assert found[Standing.KEPT] == [1007, 1001]
    assert found[Standing.NO_DATE] == [1005]


@pytest.mark.parametrize("asked", ["1002", " 1002  bowline", "FAIRLEAD", "4b-7", "demo 3", "1964"])
def test_a_car_is_found_by_what_people_call_it(asked: str) -> None:
    found = CarList((car(1002, 1, 2),), asked)
    assert [group.title for group in found.groups] == ["In time"]


def test_what_is_not_found_leaves_the_counts_of_all_cars() -> None:
    found = CarList((car(1002, 9, 2), car(1003, 1, 2, 0.5)), "1004")
    assert (found.groups, found.late, found.at_risk) == ((), 1, 1)


@pytest.mark.parametrize(
    ("was", "kept", "then", "words"),
    [
        (0, 0, 5, "the promise is missed: 2 days late"),
        (0, 4, 3, "the promise is kept again; otherwise 1 day late"),
        (0, 4, 4, "1 day late either way"),
        (0, 8, 4, "1 day late instead of 5"),
        (8, 3, 3, "kept either way"),
        (None, 1, 3, ""),
    ],
)
def test_what_becomes_of_a_promise_is_said(was: int | None, kept: int, then: int, words: str) -> None:
    accepted = None if was is None else days(was)
    one = CarDates(Job(number=1), accepted, days(kept), days(then), days(3))
    assert one.promise_words == words
    assert one.touches_promise == bool(words)


day_or_none = st.one_of(st.none(), st.integers(0, 30).map(days))


@given(day_or_none, day_or_none, st.integers(0, 30).map(days), day_or_none)
def test_no_promise_is_missed_or_saved_without_being_touched(
    was: dt.date | None, kept: dt.date | None, then: dt.date, promised: dt.date | None
) -> None:
    one = CarDates(Job(number=1), was, kept, then, promised)
    if one.breaks_promise or one.saves_promise:
        assert one.touches_promise
        assert one.moves
    if promised is None:
        assert not one.touches_promise
        assert one.promise_words == ""


def test_the_same_of_several_cars_is_said_once() -> None:
    rows = [
        {"where": "Job 1", "what": "not allowed", "way_out": "Ask", "job": "1"},
        {"where": "Bay 2", "what": "has no stands", "way_out": "Buy some", "job": ""},
        {"where": "Job 3", "what": "not allowed", "way_out": "Ask", "job": "3"},
    ]
    first, second = fault_lines(rows)
    assert first.places == (("Job 1", "1"), ("Job 3", "3"))
    assert second.places == (("Bay 2", ""),)


def test_days_are_said_to_the_half() -> None:
    assert [half_days(n) for n in (0.0, 0.2, 8.8, 12.3, 12.8)] == ["0", "0", "9", "12.5", "13"]


def test_what_is_learned_of_work_says_nothing_of_who_did_it() -> None:
    """Speeds of persons are not compared: that makes rushed welds."""
    names = {field.name for field in fields(Done)}
    assert names.isdisjoint({"who", "by", "person", "people", "worker", "signer"})

"""Why a car is not ready earlier: the chain of its longest wait, worked out by hand."""

import datetime as dt

import pytest

from jobs.planning.plan import Assignment, JobFinish, Plan
from jobs.planning.problem import Bay, Calendar, Job, Operation, Person, Problem, Segment, Shift, Span
from jobs.plans import why
from jobs.plans.supply import Supply
from jobs.plans.why import Reasons, working_minutes
from parts.standing import LineStanding

DAY = (Shift(8 * 60, 16 * 60),)
DAY_LONG = dt.timedelta(days=1)
WEEK = Calendar("shop", (DAY, DAY, DAY, DAY, DAY, (), ()))


def at(day: int, hour: int = 8) -> dt.datetime:
    return dt.datetime(2026, 3, day, hour)  # noqa: DTZ001 - the clock of the shop; the 2nd is a Monday


def job(number: str, *operations: Operation) -> Job:
    stay = Segment(f"{number} stay", frozenset())
    return Job(number, 1, at(2), at(6), (stay,), operations)


def op(name: str, *, after: tuple[str, ...] = (), parts_at: dt.datetime | None = None) -> Operation:
    return Operation(name, 480, "weld", f"{name[:1]} stay", after=after, parts_at=parts_at)


def reasons(people: tuple[Person, ...], *placed: tuple[str, str, int, int]) -> Reasons:
    first = job("1", op("1/A"), op("1/B", after=("1/A",), parts_at=at(5)))
    second = job("2", op("2/A"))
    bays = (Bay("7", frozenset(), (Span(at(2), at(2)),)),)
    problem = Problem("shop", at(2), (WEEK,), bays, people, (first, second))
    found = tuple(Assignment(name, who, "7", at(a), at(b, 16)) for name, who, a, b in placed)
    plan = Plan("shop", found, (JobFinish("1", at(9), 0), JobFinish("2", at(9), 0)))
    line = LineStanding(1, "S-4", "Sleeve", "", "B", True, 4)
    return Reasons(problem, plan, {"1": Supply({"B": at(5)}, {"B": line}, ())})


def person(name: str, *absences: Span) -> Person:
    return Person(name, frozenset({"weld"}), "shop", absences)


def test_a_bay_is_followed_to_the_parts_of_the_car_that_holds_it() -> None:
    found = reasons(
        (person("Ann"), person("Bob")), ("1/A", "Ann", 2, 2), ("1/B", "Ann", 5, 5), ("2/A", "Bob", 6, 6)
    )
    assert found.of("1") == ["parts for B (Sleeve) come on Thu 5 Mar"]
    assert found.of("2") == [
        "bay 7 is held by job 1 until Thu 5 Mar, because its parts for B (Sleeve) come on Thu 5 Mar"
    ]


def test_a_car_held_back_from_its_bay_waits_for_the_parts_that_come_later() -> None:
    found = reasons((person("Ann"),), ("1/A", "Ann", 4, 4), ("1/B", "Ann", 5, 5))
    assert found.of("1") == ["parts for B (Sleeve) come on Thu 5 Mar"]


def test_somebody_away_is_told_with_the_last_day() -> None:
    away = Span(at(5, 0), at(10, 0))
    found = reasons((person("Ann", away),), ("1/A", "Ann", 2, 2), ("1/B", "Ann", 10, 10))
    assert found.of("1") == ["Ann is away until Mon 9 Mar"]


def test_a_car_that_waits_for_nothing_has_no_reason() -> None:
    found = reasons((person("Ann"),), ("2/A", "Ann", 2, 2))
    assert found.of("2") == []
    assert found.of("1") == []


def test_working_minutes_leave_nights_and_weekends_out() -> None:
    assert working_minutes(WEEK, at(6, 15), at(9, 9)) == 60 + 60
    assert working_minutes(WEEK, at(9), at(6)) == 0


def test_the_reasons_of_many_cars_take_no_more_looking_for_each(monkeypatch: pytest.MonkeyPatch) -> None:
    looked: list[dt.datetime] = []

    def counted(calendar: Calendar, first: dt.datetime, last: dt.datetime) -> int:
        looked.append(first)
        return working_minutes(calendar, first, last)

    monkeypatch.setattr(why, "working_minutes", counted)
    cars = [str(n) for n in range(60)]
    jobs = tuple(
        Job(n, 1, at(2), at(6), (Segment(f"{n} stay", frozenset()),), (_own(n, "A"), _own(n, "B")))
        for n in cars
    )
    problem = Problem("shop", at(2), (WEEK,), (Bay("7", frozenset()),), (person("Ann"),), jobs)
    days = {f"{n}/{code}": at(2) + k * DAY_LONG for k, n in enumerate(cars) for code in "AB"}
    found = tuple(
        Assignment(
            one, "Ann", "7", begins + dt.timedelta(hours=4 * (one[-1] == "B")), begins + dt.timedelta(hours=8)
        )
        for one, begins in days.items()
    )
    told = Reasons(problem, Plan("shop", found, ()), {})
    assert told.of("59")
    assert all(told.of(n) is not None for n in cars)
    assert len(looked) <= 3 * len(found)


def _own(number: str, code: str) -> Operation:
    after = (f"{number}/A",) if code == "B" else ()
    return Operation(f"{number}/{code}", 240, "weld", f"{number} stay", after=after)

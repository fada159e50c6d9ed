"""A planning problem as a JSON document `shop-instance/1`, out and in.

The form is neutral: calendars, bays, people, jobs with segments and operations. What our problems know
beyond it (certificates by date, crews, instruments, pins, calm, unbroken work) does not go out and is
not there when one comes in. Errors are told all at once, each with its path.
"""

import datetime as dt
from collections import Counter
from collections.abc import Iterable
from typing import Any

from jobs.planning.problem import (
    MINUTES_A_DAY,
    SLOT_MINUTES,
    Bay,
    Calendar,
    Job,
    Operation,
    Person,
    Problem,
    Segment,
    Shift,
    Span,
    Status,
)
from jobs.planning.reading import Node, read_whole

SCHEMA = "shop-instance/1"
# More than a year and a half of one person's work is a slip of the keys, and so is a weight of millions.
MOST_MINUTES, MOST_WEIGHT = 200_000, 1_000_000
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def read_problem(document: Any) -> Problem:
    """The problem that the document says.

    Raises:
        UnreadableError: with all that is wrong.
    """
    return read_whole(document, SCHEMA, _problem)


def _problem(root: Node) -> Problem:
    problem = Problem(
        name=root.at("name").text(),
        now=root.at("now").moment_of_our_time(),
        calendars=tuple(_calendar(one) for one in root.at("calendars").items()),
        bays=tuple(_bay(one) for one in root.at("bays").items()),
        people=tuple(_person(one) for one in root.at("people").items()),
        jobs=tuple(_job(one) for one in root.at("jobs").items()),
        slot_minutes=SLOT_MINUTES
        if root.at("slot_minutes").absent
        else root.at("slot_minutes").whole(1, MINUTES_A_DAY),
        seed=0 if root.at("seed").absent else root.at("seed").whole(),
    )
    if not root.errors:
        _check_names(root, problem)
    return problem


def _calendar(node: Node) -> Calendar:
    week = dict.fromkeys(DAYS, ())
    days: dict[str, tuple[Shift, ...]] = {**week}
    for day, shifts in node.at("week").entries():
        if day in days:
            days[day] = shifts.shifts()
        else:
            shifts.fault(f"“{day}” is no day of the week; they are {', '.join(DAYS)}")
    exceptions: dict[dt.date, tuple[Shift, ...]] = {}
    for day, shifts in node.at("exceptions").entries():
        try:
            exceptions[dt.date.fromisoformat(day)] = shifts.shifts()
        except ValueError:
            shifts.fault(f"“{day}” is no date; write it as 2026-03-02")
    return Calendar(node.at("id").text(), tuple(days[day] for day in DAYS), exceptions)


def _bay(node: Node) -> Bay:
    return Bay(node.at("id").text(), frozenset(node.at("features").texts()), node.at("down").spans())


def _person(node: Node) -> Person:
    return Person(
        node.at("id").text(),
        frozenset(node.at("skills").texts()),
        node.at("calendar").text(),
        node.at("absences").spans(),
    )


def _segment(node: Node) -> Segment:
    features = frozenset(node.at("bay_features").texts())
    return Segment(node.at("id").text(), features, node.at("bay").optional_text())


def _job(node: Node) -> Job:
    return Job(
        id=node.at("id").text(),
        weight=1 if node.at("weight").absent else node.at("weight").whole(most=MOST_WEIGHT),
        release=node.at("release").moment(),
        due=node.at("due").moment(),
        segments=tuple(_segment(one) for one in node.at("segments").items(required=False)),
        operations=tuple(_operation(one) for one in node.at("operations").items()),
    )


def _status(node: Node) -> Status:
    if node.absent:
        return Status.TODO
    try:
        return Status(node.text())
    except ValueError:
        node.fault(f"“{node.value}” is no status; it is one of todo, running, done")
        return Status.TODO


def _operation(node: Node) -> Operation:
    status = _status(node.at("status"))
    running = status is Status.RUNNING
    stage = node.at("stage").value
    return Operation(
        id=node.at("id").text(),
        minutes=node.at("minutes").whole(most=MOST_MINUTES),
        skill=node.at("skill").optional_text(),
        segment=node.at("segment").optional_text(),
        stage=stage if isinstance(stage, str) else "",
        after=node.at("after").texts(),
        parts_at=node.at("parts_at").optional_moment(),
        hold=node.at("hold").yes(),
        same_day=node.at("same_day").yes(),
        not_same_person_as=node.at("not_same_person_as").texts(),
        status=status,
        person=node.at("person").text() if running else None,
        started=node.at("started").moment() if running else None,
        remaining_minutes=node.at("remaining_minutes").whole(most=MOST_MINUTES) if running else None,
    )


def _check_names(root: Node, problem: Problem) -> None:
    """Every identity once in its kind, and every name that is used is there."""
    kinds: list[tuple[str, Iterable[str]]] = [
        ("calendars", (one.id for one in problem.calendars)),
        ("bays", (one.id for one in problem.bays)),
        ("people", (one.id for one in problem.people)),
        ("jobs", (one.id for one in problem.jobs)),
        ("operations", (one.id for one in problem.operations())),
    ]
    for kind, names in kinds:
        for name, times in Counter(names).items():
            if times > 1:
                root.at(kind).fault(f"“{name}” stands there {times} times")
    for number, person in enumerate(problem.people):
        at = root.at(f"people[{number}]").at("calendar")
        at.known(person.calendar, problem.calendar, "calendar")
    for number, job in enumerate(problem.jobs):
        _check_job(root.at(f"jobs[{number}]"), job, problem)


def _check_job(at: Node, job: Job, problem: Problem) -> None:
    for number, segment in enumerate(job.segments):
        if segment.bay is not None:
            at.at(f"segments[{number}]").at("bay").known(segment.bay, problem.bay, "bay")
    segments = Counter(segment.id for segment in job.segments)
    for name, times in segments.items():
        if times > 1:
            at.at("segments").fault(f"“{name}” stands there {times} times")
    for number, operation in enumerate(job.operations):
        node = at.at(f"operations[{number}]")
        if operation.segment is not None:
            node.at("segment").known(operation.segment, segments, "segment of this job")
        if operation.person is not None:
            node.at("person").known(operation.person, problem.person, "person")
        for other in operation.after:
            node.at("after").known(other, problem.operation, "operation")
        for other in operation.not_same_person_as:
            node.at("not_same_person_as").known(other, problem.operation, "operation")


def write_problem(problem: Problem) -> dict[str, Any]:
    """The problem as a document of the neutral form."""
    return {
        "schema": SCHEMA,
        "name": problem.name,
        "seed": problem.seed,
        "now": moment(problem.now),
        "slot_minutes": problem.slot_minutes,
        "calendars": [_calendar_out(one) for one in problem.calendars],
        "bays": [
            {"id": one.id, "features": sorted(one.features), "down": _spans_out(one.down)}
            for one in problem.bays
        ],
        "people": [
            {
                "id": one.id,
                "skills": sorted(one.skills),
                "calendar": one.calendar,
                "absences": _spans_out(one.absences),
            }
            for one in problem.people
        ],
        "jobs": [_job_out(one) for one in problem.jobs],
    }


def moment(at: dt.datetime) -> str:
    return at.isoformat(timespec="minutes")


def _spans_out(spans: Iterable[Span]) -> list[list[str]]:
    return [[moment(one.starts), moment(one.ends)] for one in spans]


def _shifts_out(shifts: Iterable[Shift]) -> list[list[str]]:
    return [[f"{minute // 60:02}:{minute % 60:02}" for minute in (one.starts, one.ends)] for one in shifts]


def _calendar_out(calendar: Calendar) -> dict[str, Any]:
    return {
        "id": calendar.id,
        "week": {day: _shifts_out(shifts) for day, shifts in zip(DAYS, calendar.week, strict=True) if shifts},
        "exceptions": {
            day.isoformat(): _shifts_out(shifts) for day, shifts in sorted(calendar.exceptions.items())
        },
    }


def _job_out(job: Job) -> dict[str, Any]:
    return {
        "id": job.id,
        "weight": job.weight,
        "release": moment(job.release),
        "due": moment(job.due),
        "segments": [
            {"id": one.id, "bay_features": sorted(one.bay_features), "bay": one.bay} for one in job.segments
        ],
        "operations": [_operation_out(one) for one in job.operations],
    }


def _operation_out(operation: Operation) -> dict[str, Any]:
    told: dict[str, Any] = {
        "id": operation.id,
        "stage": operation.stage,
        "minutes": operation.minutes,
        "skill": operation.skill,
        "segment": operation.segment,
        "after": list(operation.after),
        "parts_at": moment(operation.parts_at) if operation.parts_at else None,
        "hold": operation.hold,
        "same_day": operation.same_day,
        "not_same_person_as": list(operation.not_same_person_as),
        "status": operation.status.value,
    }
    if operation.status is Status.RUNNING and operation.started:
        told |= {
            "person": operation.person,
            "started": moment(operation.started),
            "remaining_minutes": operation.remaining_minutes,
        }
    return told

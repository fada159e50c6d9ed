"""A shop small enough to plan by hand: days from 8 to 12 and 13 to 17, and whatever a test adds."""

import datetime as dt
from dataclasses import replace
from typing import Any

from jobs.planning.assembling import plan_of
from jobs.planning.budget import Limits
from jobs.planning.checker import breaches
from jobs.planning.plan import Assignment, Plan, Proposal
from jobs.planning.preparing import prepared
from jobs.planning.problem import Bay, Calendar, Job, Operation, Person, Problem, Segment, Shift, Span
from jobs.planning.search import search

NOW = dt.datetime.fromisoformat("2026-03-02T08:00")  # a Monday
FRIDAY = dt.datetime.fromisoformat("2026-03-06T17:00")
DAY = (Shift(8 * 60, 12 * 60), Shift(13 * 60, 17 * 60))
STANDARD = Calendar("standard", (DAY,) * 5 + ((),) * 2)
LIMITS = Limits(seconds=None, work=2.0, workers=1, seed=1)


def at(day: int, hour: int = 0, minute: int = 0) -> dt.datetime:
    """A time in March 2026; the 2nd is a Monday."""
    return NOW.replace(day=day, hour=hour, minute=minute)


def span(first: dt.datetime, past: dt.datetime) -> Span:
    return Span(first, past)


def operation(name: str, minutes: int = 120, skill: str | None = "fab", **more: Any) -> Operation:
    return Operation(name, minutes, skill, more.pop("segment", "main"), **more)


def job(name: str, *operations: Operation, due: dt.datetime = FRIDAY, **more: Any) -> Job:
    bay = more.pop("bay", None)
    segments = more.pop("segments", (Segment("main", frozenset({"fab"}), bay),))
    return Job(name, more.pop("weight", 1), more.pop("release", NOW), due, segments, operations)


def person(name: str, *skills: str, **more: Any) -> Person:
    return Person(name, frozenset(skills), more.pop("calendar", "standard"), **more)


def bay(name: str, *features: str, **more: Any) -> Bay:
    return Bay(name, frozenset(features), **more)


def shop(*jobs: Job, **more: Any) -> Problem:
    problem = Problem(
        "small",
        NOW,
        (STANDARD,),
        (bay("B1", "fab"),),
        (person("ann", "fab", "weld"), person("bob", "fab", "inspect")),
        jobs,
    )
    return replace(problem, **more)


def planned(problem: Problem) -> Proposal:
    """The best plan, which the checker has to let through."""
    found = search(problem, LIMITS)
    assert breaches(found.planned or problem, found.plan) == []
    return found


def first_plan(problem: Problem) -> Plan:
    """A plan by rules alone: for tests that need some good plan, not the best."""
    ready = prepared(problem, 1)
    assert ready.compiled
    assert ready.rules
    assert ready.rules.best
    plan = plan_of(ready.compiled, ready.rules.best.schedule)
    assert breaches(problem, plan) == []
    return plan


def changed(plan: Plan, op: str, **fields: Any) -> Plan:
    """The plan with one assignment changed."""
    return replace(
        plan, assignments=tuple(replace(one, **fields) if one.op == op else one for one in plan.assignments)
    )


def moved(plan: Plan, op: str, **shift: float) -> Plan:
    by = dt.timedelta(**shift)
    one: Assignment = plan.of[op]
    return changed(plan, op, start=one.start + by, end=one.end + by)

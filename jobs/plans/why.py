"""Why a car is not ready earlier: what its operations wait for in the plan, the longest wait first, in words.

The chain of a wait is followed to its cause: a bay to the car that holds it, that car to its parts.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from jobs.planning.plan import Assignment, Plan
from jobs.planning.problem import Calendar, Operation, Problem
from jobs.plans.supply import Supply

# Waits shorter than this are how work falls between shifts; nobody asks about them.
WORTH_TELLING = 60
# A car is let into its bay about so long before what it is held back for: two days.
HELD_BACK = 960
MOST_WAITS = 3
DEEPEST = 3


class Cause(StrEnum):
    PARTS = "parts"
    BAY = "bay"
    PINNED = "pinned"
    PERSON = "person"
    AWAY = "away"


# What a car is held back for rather than let into a bay.
FROM_OUTSIDE = frozenset({Cause.PARTS, Cause.BAY, Cause.PINNED, Cause.AWAY})
# Where several end at the same time, the first of these is told.
RANK = {cause: number for number, cause in enumerate(Cause)}


@dataclass(frozen=True)
class Wait:
    """What an operation waits for until `until`; `other` is the operation that ends then, if one does."""

    cause: Cause
    until: dt.datetime
    name: str = ""
    other: str = ""


@dataclass(frozen=True)
class Hold:
    """A stay of a car in a bay."""

    job: str
    bay: str
    segment: str
    first: str
    last: str
    starts: dt.datetime
    ends: dt.datetime


@dataclass
class Reasons:
    """The waits of one plan for its problem."""

    problem: Problem
    plan: Plan
    supplies: Mapping[str, Supply]
    _found: dict[str, list[tuple[int, Wait]]] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def holds(self) -> tuple[Hold, ...]:
        """Every stay: from its first start, or from now where the car is in already, until it can leave."""
        return tuple(holds_of(self.problem, self.plan))

    @cached_property
    def _of_person(self) -> dict[str, list[Assignment]]:
        found: dict[str, list[Assignment]] = defaultdict(list)
        for one in sorted(self.plan.assignments, key=lambda one: one.end):
            for name in (one.person, *one.others):
                if name:
                    found[name].append(one)
        return found

    @property
    def calendar(self) -> Calendar:
        return self.problem.calendars[0]

    def of(self, job: str) -> list[str]:
        """The longest waits of a car, each a sentence."""
        found = sorted(self._waits(job), key=lambda pair: -pair[0])[:MOST_WAITS]
        return [self._sentence(job, wait) for _length, wait in found]

    def _waits(self, job: str) -> list[tuple[int, Wait]]:
        """Worked out once for each car: many sentences lead to the same."""
        if job not in self._found:
            self._found[job] = self._waits_along(job)
        return self._found[job]

    def _waits_along(self, job: str) -> list[tuple[int, Wait]]:
        """Along the chain of the car's own operations, back from the one that ends last: how long for what.

        Where an operation begins late although nothing holds it, the car is held back so as not to block
        a bay: that counts for what comes later and is waited for from outside.
        """
        lengths: dict[Wait, int] = defaultdict(int)
        held_for: Wait | None = None
        for at, ready in self._chain(job):
            waits = self._ended(self.problem.operation[at.op])
            held_for = self._latest(waits, at.start, within=HELD_BACK, of=FROM_OUTSIDE) or held_for
            wait = self._latest(waits, at.start, within=WORTH_TELLING, of=frozenset(Cause)) or held_for
            if wait is not None:
                lengths[wait] += working_minutes(self.calendar, ready, at.start)
        return [(length, wait) for wait, length in lengths.items() if length >= WORTH_TELLING]

    def _latest(
        self, waits: list[Wait], start: dt.datetime, *, within: int, of: frozenset[Cause]
    ) -> Wait | None:
        """The wait that ended last, no more than so many working minutes before a start."""
        last = max(
            (wait for wait in waits if wait.cause in of),
            key=lambda wait: (wait.until, -RANK[wait.cause]),
            default=None,
        )
        # What ends earlier is farther from the start: where the last is not near, none is.
        near = last is not None and working_minutes(self.calendar, last.until, start) < within
        return last if near else None

    def _chain(self, job: str) -> Iterator[tuple[Assignment, dt.datetime]]:
        """The car's operations, each the last that the one before it waited for, and when it could begin."""
        mine = [self.plan.of[o.id] for o in self.problem.job[job].operations if o.id in self.plan.of]
        at = max(mine, key=lambda one: one.end, default=None)
        while at is not None:
            before = self._last_before(self.problem.operation[at.op])
            yield at, max(before.end if before else self.problem.now, self.problem.now)
            at = before

    def _last_before(self, operation: Operation) -> Assignment | None:
        names = {*operation.after, *([operation.at_once_after] if operation.at_once_after else [])}
        found = [self.plan.of[name] for name in names if name in self.plan.of]
        return max(found, key=lambda one: one.end, default=None)

    def _ended(self, operation: Operation) -> list[Wait]:
        """All that the operation could have waited for beside the car's own earlier work."""
        at = self.plan.of[operation.id]
        return [wait for wait in self._all(operation, at) if self.problem.now < wait.until <= at.start]

    def _all(self, operation: Operation, at: Assignment) -> Iterator[Wait]:
        job = self.problem.job_of[operation.id]
        if operation.parts_at:
            yield Wait(Cause.PARTS, operation.parts_at, operation.id)
        for pin in self.problem.pins:
            if pin.at and (pin.operation or pin.job) in {operation.id, job.id}:
                yield Wait(Cause.PINNED, pin.at)
        yield from self._bay(operation, at)
        for name in (at.person, *at.others):
            if name:
                yield from self._person(name, at)

    def _bay(self, operation: Operation, at: Assignment) -> Iterator[Wait]:
        mine = next((h for h in self.holds if h.first == operation.id), None)
        if mine is None or at.bay is None:
            return
        for hold in self.holds:
            if hold.bay == mine.bay and hold.ends <= mine.starts:
                yield Wait(Cause.BAY, hold.ends, hold.bay, hold.last)
        for span in self.problem.bay[mine.bay].down:
            yield Wait(Cause.BAY, span.ends, mine.bay)

    def _person(self, name: str, at: Assignment) -> Iterator[Wait]:
        for one in self._of_person[name]:
            if one.end <= at.start and one.op != at.op and self._job(one.op) != self._job(at.op):
                yield Wait(Cause.PERSON, one.end, name, one.op)
        for span in self.problem.person[name].absences:
            yield Wait(Cause.AWAY, span.ends, name)

    def _job(self, operation: str) -> str:
        return self.problem.job_of[operation].id

    def _sentence(self, job: str, wait: Wait) -> str:
        """The wait with what lies behind it, as far as that says more."""
        told, seen = [self._words(wait, job)], {job}
        while wait.other and self._job(wait.other) not in seen and len(told) < DEEPEST:
            other = self._job(wait.other)
            seen.add(other)
            behind = max(self._waits(other), key=lambda pair: pair[0], default=None)
            if behind is None or behind[1].until > wait.until:
                break
            wait = behind[1]
            told.append(self._words(wait, other, of_another=True))
        return _(", because ").join(told)

    def _words(self, wait: Wait, job: str, *, of_another: bool = False) -> str:
        said = {"name": wait.name, "day": day_said(wait.until), "job": ""}
        if wait.other:
            said["job"], said["code"] = self._job(wait.other), wait.other.partition("/")[2]
        if wait.cause is Cause.PARTS:
            return self._parts(wait, job, of_another=of_another)
        if wait.cause is Cause.BAY and wait.other:
            return _("bay %(name)s is held by job %(job)s until %(day)s") % said
        if wait.cause is Cause.BAY:
            return _("bay %(name)s is closed until %(day)s") % {**said, "day": day_before(wait.until)}
        if wait.cause is Cause.AWAY:
            return _("%(name)s is away until %(day)s") % {**said, "day": day_before(wait.until)}
        if wait.cause is Cause.PINNED:
            return _("it is pinned not to start before %(day)s") % said
        return _("%(name)s is on job %(job)s, %(code)s, until %(day)s") % said

    def _parts(self, wait: Wait, job: str, *, of_another: bool) -> str:
        code = wait.name.partition("/")[2]
        line = self.supplies[job].waits_for.get(code) if job in self.supplies else None
        said = {"part": line.description if line else "?", "day": day_before(wait.until), "code": code}
        if of_another:
            return _("its parts for %(code)s (%(part)s) come on %(day)s") % said
        return _("parts for %(code)s (%(part)s) come on %(day)s") % said


def holds_of(problem: Problem, plan: Plan) -> Iterator[Hold]:
    """Every stay in a bay, from its first start until it can leave: nights and waits are in it."""
    for job in problem.jobs:
        stays = []
        for segment in job.segments:
            mine = [plan.of[o.id] for o in job.operations if o.segment == segment.id and o.id in plan.of]
            if mine and mine[0].bay is not None:
                stays.append((segment, mine, mine[0].bay))
        for number, (segment, mine, bay) in enumerate(stays):
            first = min(mine, key=lambda one: one.start)
            last = max(mine, key=lambda one: one.end)
            ends = last.end
            if not segment.rolls and number + 1 < len(stays):
                ends = max(ends, min(one.start for one in stays[number + 1][1]))
            starts = problem.now if segment.bay is not None else first.start
            yield Hold(job.id, bay, segment.id, first.op, last.op, starts, ends)


def working_minutes(calendar: Calendar, first: dt.datetime, last: dt.datetime) -> int:
    """Working minutes of a calendar between two local times; 0 where the second is not later."""
    total, day = 0.0, first.date()
    while day <= last.date():
        base = dt.datetime.combine(day, dt.time())
        for shift in calendar.shifts_on(day):
            begins = max(first, base + dt.timedelta(minutes=shift.starts))
            ends = min(last, base + dt.timedelta(minutes=shift.ends))
            total += max(0.0, (ends - begins).total_seconds())
        day += dt.timedelta(days=1)
    return int(total // 60)


def day_said(at: dt.datetime) -> str:
    return date_format(at, "D j M")


def day_before(at: dt.datetime) -> str:
    """The last day of a time away that ends at midnight."""
    return day_said(at - dt.timedelta(minutes=1))

"""The axis of working time: the slots in which anybody works, one after another, nights left out.

A position is a whole number from 0 (now). As a start, position p is the beginning of slot p; as an end,
it is the end of slot p - 1: so work that ends on Friday evening and work that begins on Monday morning
share a position. `W(t)`, the working time from now to t, is a position too. Minutes count from the
midnight before now.
"""

import datetime as dt
from array import array
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from math import gcd

import numpy as np
import numpy.typing as npt

from jobs.planning.problem import MINUTES_A_DAY, Calendar, Problem, Span

Flags = npt.NDArray[np.bool_]
Positions = npt.NDArray[np.int64]


def unit_minutes(problem: Problem) -> int:
    """The finest slot of which every given time and duration is a multiple."""
    base = midnight(problem.now)
    unit = problem.slot_minutes
    for at in _moments(problem):
        unit = gcd(unit, int((at - base).total_seconds()) // 60)
    for operation in problem.operations():
        unit = gcd(unit, operation.work_minutes)
    for calendar in problem.calendars:
        for shifts in (*calendar.week, *calendar.exceptions.values()):
            for shift in shifts:
                unit = gcd(unit, gcd(shift.starts, shift.ends))
    return unit


def midnight(at: dt.datetime) -> dt.datetime:
    return at.replace(hour=0, minute=0, second=0, microsecond=0)


def _moments(problem: Problem) -> Iterable[dt.datetime]:
    yield problem.now
    spans = [span for bay in problem.bays for span in bay.down]
    spans += [span for person in problem.people for span in person.absences]
    spans += [span for one in problem.instruments for span in one.out]
    for span in spans:
        yield from (span.starts, span.ends)
    for job in problem.jobs:
        yield from (job.release, job.due)
        yield from (one.parts_at for one in job.operations if one.parts_at)
    yield from (pin.at for pin in problem.pins if pin.at)


@dataclass(frozen=True)
class Axis:
    """The working slots of a problem up to its horizon; `minutes[p]` is where slot p begins."""

    now: dt.datetime
    unit: int
    days: int
    minutes: Positions

    @cached_property
    def base(self) -> dt.datetime:
        """The midnight before now."""
        return midnight(self.now)

    def __len__(self) -> int:
        return len(self.minutes)

    def minute_of(self, at: dt.datetime) -> int:
        return int((at - self.base).total_seconds()) // 60

    def position(self, at: dt.datetime) -> int:
        """The position of a time: of the first slot that begins then or later; also W(t)."""
        return int(np.searchsorted(self.minutes, self.minute_of(at), side="left"))

    def start(self, position: int) -> dt.datetime:
        return self.base + dt.timedelta(minutes=int(self.minutes[position]))

    def end(self, position: int) -> dt.datetime:
        return self.base + dt.timedelta(minutes=int(self.minutes[position - 1]) + self.unit)

    @cached_property
    def opens(self) -> Flags:
        """The positions before which there is a gap: work that begins there follows nothing at once."""
        steps = np.diff(self.minutes, prepend=self.minutes[:1] - 2 * self.unit)
        return np.asarray(steps != self.unit)


def axis_of(problem: Problem, unit: int, days: int) -> Axis:
    """The axis from now over so many days: a slot is on it if the calendar of anybody has it."""
    used = sorted({person.calendar for person in problem.people})
    base = midnight(problem.now)
    flags = np.zeros(days * MINUTES_A_DAY // unit, dtype=bool)
    for name in used:
        flags |= working_flags(problem.calendar[name], base, unit, days)
    now = int((problem.now - base).total_seconds()) // 60
    flags[: -(-now // unit)] = False
    return Axis(problem.now, unit, days, np.flatnonzero(flags).astype(np.int64) * unit)


def working_flags(calendar: Calendar, base: dt.datetime, unit: int, days: int) -> Flags:
    """For each slot from the base on, worked or not, whether the calendar has it as working time."""
    a_day = MINUTES_A_DAY // unit
    flags = np.zeros(days * a_day, dtype=bool)
    first = base.date()
    for day in range(days):
        for shift in calendar.shifts_on(first + dt.timedelta(days=day)):
            flags[day * a_day + shift.starts // unit : day * a_day + shift.ends // unit] = True
    return flags


def without(flags: Flags, spans: Iterable[Span], base: dt.datetime, unit: int) -> Flags:
    """The flags with all of those spans taken out."""
    left = flags.copy()
    for span in spans:
        first = int((span.starts - base).total_seconds()) // 60 // unit
        last = -(-int((span.ends - base).total_seconds()) // 60 // unit)
        left[max(first, 0) : max(last, 0)] = False
    return left


@dataclass(frozen=True)
class Conditions:
    """What narrows the starts of an operation beside the hours of who does it."""

    slots: int
    same_day: bool = False
    unbroken: bool = False
    away: tuple[Span, ...] = ()
    valid: tuple[tuple[dt.date | None, dt.date | None], ...] | None = None


@dataclass(frozen=True)
class Timing:
    """Where work of one length may begin, and where it then ends, for one set of hours.

    `ends[p]` is the end of work begun at p, -1 where it may not begin; `following[p]` is the first start
    at p or later, the axis' length where there is none.
    """

    ends: Positions
    fast_ends: "array[int]" = field(repr=False)
    following: "array[int]" = field(repr=False)

    @cached_property
    def lengths(self) -> list[tuple[int, list[tuple[int, int]]]]:
        """Each length on the axis with the ranges of starts that lead to it, ends included."""
        starts = np.flatnonzero(self.ends >= 0)
        sizes = self.ends[starts] - starts
        return [(int(size), ranges_of(starts[sizes == size])) for size in np.unique(sizes)]


def ranges_of(positions: Positions) -> list[tuple[int, int]]:
    """Rising positions as ranges, both ends included."""
    if not len(positions):
        return []
    breaks = np.flatnonzero(np.diff(positions) > 1)
    firsts = positions[np.concatenate(([0], breaks + 1))]
    lasts = positions[np.concatenate((breaks, [len(positions) - 1]))]
    return [(int(first), int(last)) for first, last in zip(firsts, lasts, strict=True)]


def timing_of(axis: Axis, works: Flags, conditions: Conditions) -> Timing:
    """The timing of work under those conditions; `works` says for each slot whether it is worked."""
    size, slots = len(axis), conditions.slots
    worked = np.flatnonzero(works)
    starts = worked[: len(worked) - max(slots - 1, 0)] if slots <= len(worked) else worked[:0]
    ends = worked[max(slots - 1, 0) :][: len(starts)] + 1 if slots else starts
    begins = axis.minutes[starts]
    stops = axis.minutes[ends - 1] + axis.unit if slots else begins
    good = np.ones(len(starts), dtype=bool)
    if conditions.same_day:
        good &= begins // MINUTES_A_DAY == stops // MINUTES_A_DAY
    if conditions.unbroken:
        good &= stops - begins == slots * axis.unit
    for span in conditions.away:
        good &= (stops <= axis.minute_of(span.starts)) | (begins >= axis.minute_of(span.ends))
    if conditions.valid is not None:
        good &= _valid(axis, conditions.valid, begins, stops)
    table = np.full(size + 1, -1, dtype=np.int64)
    table[starts[good]] = ends[good]
    following = np.where(table >= 0, np.arange(size + 1), size)
    following = np.minimum.accumulate(following[::-1])[::-1]
    return Timing(table, array("l", table.tolist()), array("l", following.tolist()))


def _valid(
    axis: Axis,
    windows: tuple[tuple[dt.date | None, dt.date | None], ...],
    begins: Positions,
    stops: Positions,
) -> Flags:
    good = np.zeros(len(begins), dtype=bool)
    for first, last in windows:
        one = np.ones(len(begins), dtype=bool)
        if first is not None:
            one &= begins >= (first - axis.base.date()).days * MINUTES_A_DAY
        if last is not None:
            one &= stops <= ((last - axis.base.date()).days + 1) * MINUTES_A_DAY
        good |= one
    return good

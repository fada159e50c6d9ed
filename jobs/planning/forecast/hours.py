"""Working time minute by minute as arrays, so that thousands of samples are worked out at once."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from jobs.planning.problem import MINUTES_A_DAY, Problem, Span

Times = npt.NDArray[np.int32]
Flags = npt.NDArray[np.bool_]
HORIZON_DAYS = 900
SIGN = 31
# A calendar and what is taken out of it: people who have both alike share their hours.
Kind = tuple[str, tuple[Span, ...]]


@dataclass(frozen=True, eq=False)
class Hours:
    """Somebody's working time. Times are minutes from the midnight before the problem's now.

    `before[m]` are the working minutes before minute m, `at[k]` is the k-th working minute, with the
    horizon behind the last. What does not fit before the horizon ends at the horizon.
    """

    before: npt.NDArray[np.int32]
    at: npt.NDArray[np.int32]

    @classmethod
    def of(cls, working: Flags) -> "Hours":
        before = np.zeros(len(working) + 1, np.int32)
        np.cumsum(working, out=before[1:])
        return cls(before, np.append(np.flatnonzero(working), len(working)).astype(np.int32))

    @property
    def horizon(self) -> int:
        return len(self.before) - 1

    def begin(self, ready: Times) -> Times:
        """The first working minute at or after each time."""
        return self.minute_of(self.worked_by(ready))

    def end(self, start: Times, minutes: Times) -> Times:
        """When so many working minutes have passed since each start; the start where there are none."""
        ends = self.past(self.worked_by(start), minutes)
        return ends if minutes.min(initial=1) > 0 else np.where(minutes > 0, ends, start)

    def worked_by(self, at: Times) -> Times:
        """The working minutes before each time."""
        return self.before.take(at, mode="clip")

    def minute_of(self, number: Times) -> Times:
        """The minute that is the working minute of that number; the horizon where there is none."""
        return self.at.take(number, mode="clip")

    def past(self, number: Times, minutes: Times) -> Times:
        """When so many working minutes, one at least, from that number on have passed."""
        last = number + minutes
        last -= 1
        ends = self.minute_of(last)
        ends += 1
        return np.minimum(ends, self.horizon, out=ends)

    @cached_property
    def _before(self) -> memoryview:
        """`before`, quicker to read one by one."""
        return self.before.data

    @cached_property
    def _at(self) -> memoryview:
        return self.at.data

    def begin_one(self, ready: int) -> int:
        """`begin` for one time, in plain numbers."""
        return self._at[self.number_of(ready)]

    def number_of(self, at: int) -> int:
        """`worked_by` for one time."""
        number: int = self._before[min(at, self.horizon)]
        return number

    def minute_one(self, number: int) -> int:
        minute: int = self._at[min(number, len(self._at) - 1)]
        return minute

    def works(self, minute: int) -> bool:
        """Whether that minute is worked."""
        return minute < self.horizon and self._before[minute + 1] > self._before[minute]

    def end_one(self, start: int, minutes: int) -> int:
        if minutes <= 0:
            return start
        number: int = self._before[min(start, self.horizon)] + minutes - 1
        return self._at[number] + 1 if number < len(self._at) - 1 else self.horizon


class Clock:
    """The problem's times as minutes, and the hours of its people."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.base = problem.now.replace(hour=0, minute=0, second=0, microsecond=0)
        self.horizon = HORIZON_DAYS * MINUTES_A_DAY
        self._calendars: dict[str, Flags] = {}
        self._hours: dict[tuple[Kind, ...], Hours] = {}

    def minute(self, at: dt.datetime) -> int:
        return min(self.horizon, int((at - self.base).total_seconds()) // 60)

    def moment(self, minute: int) -> dt.datetime:
        return self.base + dt.timedelta(minutes=int(minute))

    def hours_of(self, people: Iterable[str]) -> Hours:
        """The time in which any of those people works; where nobody is named, in which anybody does."""
        named = set(people) or set(self.problem.person)
        kinds = {(self.problem.person[name].calendar, self.problem.person[name].absences) for name in named}
        key = tuple(sorted(kinds))
        if key not in self._hours:
            working = np.zeros(self.horizon, np.bool_)
            for calendar, absences in key:
                working |= self._working(calendar, absences)
            self._hours[key] = Hours.of(working)
        return self._hours[key]

    def _working(self, calendar: str, absences: tuple[Span, ...]) -> Flags:
        if not absences:
            return self._calendar(calendar)
        working = self._calendar(calendar).copy()
        for absence in absences:
            working[self.within(absence)] = False
        return working

    def within(self, span: Span) -> slice:
        return slice(max(0, self.minute(span.starts)), max(0, self.minute(span.ends)))

    def _calendar(self, name: str) -> Flags:
        if name not in self._calendars:
            calendar = self.problem.calendar[name]
            working = np.zeros(self.horizon, np.bool_)
            for day in range(HORIZON_DAYS):
                for shift in calendar.shifts_on((self.base + dt.timedelta(days=day)).date()):
                    midnight = day * MINUTES_A_DAY
                    working[midnight + shift.starts : midnight + shift.ends] = True
            self._calendars[name] = working
        return self._calendars[name]


def who_may(problem: Problem, skill: str | None) -> Sequence[str]:
    """Who has a skill on some day at least; an operation that takes nobody counts anybody's hours."""
    if skill is None:
        return tuple(problem.person)
    return tuple(person.id for person in problem.people if person.ever_may(skill))


# Masks of bits, all set or none, are ten times as quick as branches: so `x >> SIGN` where x is below zero.


def where(numbers: Times, number: int) -> Times:
    """All bits set where it is that number, of numbers that are none below zero."""
    found: Times = ((numbers ^ number) - 1) >> SIGN
    return found


def put(of: Times, values: Times | int, mask: Times) -> None:
    """Those values where all bits of the mask are set."""
    of += (values - of) & mask

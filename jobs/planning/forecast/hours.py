"""Working time minute by minute as arrays, so that thousands of samples are worked out at once."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from jobs.planning.problem import MINUTES_A_DAY, Person, Problem, Span

Times = npt.NDArray[np.int32]
Flags = npt.NDArray[np.bool_]
HORIZON_DAYS = 900


@dataclass(frozen=True)
class Hours:
    """Somebody's working time. Times are minutes from the midnight before the problem's now.

    `before[m]` are the working minutes before minute m, `at[k]` is the k-th working minute. What does not
    fit before the horizon ends at the horizon.
    """

    before: npt.NDArray[np.int32]
    at: npt.NDArray[np.int32]

    @classmethod
    def of(cls, working: Flags) -> "Hours":
        before = np.zeros(len(working) + 1, np.int32)
        np.cumsum(working, out=before[1:])
        return cls(before, np.flatnonzero(working).astype(np.int32))

    @property
    def horizon(self) -> int:
        return len(self.before) - 1

    def begin(self, ready: Times) -> Times:
        """The first working minute at or after each time."""
        return self._minute(self.before[np.minimum(ready, self.horizon)])

    def end(self, start: Times, minutes: Times) -> Times:
        """When so many working minutes have passed since each start; the start where there are none."""
        last = self.before[np.minimum(start, self.horizon)] + minutes - 1
        return np.where(minutes > 0, self._minute(last) + 1, start)

    def _minute(self, number: npt.NDArray[np.integer]) -> Times:
        known = np.minimum(number, len(self.at) - 1)
        return np.where(number < len(self.at), self.at[known], np.int32(self.horizon))

    @cached_property
    def _before(self) -> memoryview:
        """`before`, quicker to read one by one."""
        return self.before.data

    @cached_property
    def _at(self) -> memoryview:
        return self.at.data

    def begin_one(self, ready: int) -> int:
        """`begin` for one time, in plain numbers."""
        number: int = self._before[min(ready, self.horizon)]
        return self._at[number] if number < len(self.at) else self.horizon

    def works(self, minute: int) -> bool:
        """Whether that minute is worked."""
        return minute < self.horizon and self._before[minute + 1] > self._before[minute]

    def end_one(self, start: int, minutes: int) -> int:
        if minutes <= 0:
            return start
        number: int = self._before[min(start, self.horizon)] + minutes - 1
        return self._at[number] + 1 if number < len(self.at) else self.horizon


class Clock:
    """The problem's times as minutes, and the hours of its people."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.base = problem.now.replace(hour=0, minute=0, second=0, microsecond=0)
        self.horizon = HORIZON_DAYS * MINUTES_A_DAY
        self._calendars: dict[str, Flags] = {}
        self._people: dict[str, Flags] = {}
        self._hours: dict[tuple[str, ...], Hours] = {}

    def minute(self, at: dt.datetime) -> int:
        return min(self.horizon, int((at - self.base).total_seconds()) // 60)

    def moment(self, minute: int) -> dt.datetime:
        return self.base + dt.timedelta(minutes=int(minute))

    def hours_of(self, people: Iterable[str]) -> Hours:
        """The time in which any of those people works; where nobody is named, in which anybody does."""
        key = tuple(sorted(people)) or tuple(sorted(self.problem.person))
        if key not in self._hours:
            working = np.zeros(self.horizon, np.bool_)
            for name in key:
                working |= self._working(self.problem.person[name])
            self._hours[key] = Hours.of(working)
        return self._hours[key]

    def _working(self, person: Person) -> Flags:
        if person.id not in self._people:
            working = self._calendar(person.calendar).copy()
            for absence in person.absences:
                working[self.within(absence)] = False
            self._people[person.id] = working
        return self._people[person.id]

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

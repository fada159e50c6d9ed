"""When an operation may be begun, beside who is there and what it waits for.

As in the plan: on one day or in one stretch where it must be, while one instrument of each kind that it takes
is not out, and only by whom a certificate covers to its end; as far as anybody knows beforehand how long it
takes. Where the last certificate for a skill runs out, it is taken as renewed, as the plan does.
"""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from jobs.planning.forecast.hours import HORIZON_DAYS, Clock, Flags, Hours, Times
from jobs.planning.manning import away, valid_days
from jobs.planning.plan import Plan
from jobs.planning.problem import MINUTES_A_DAY, Operation
from jobs.planning.renewing import as_if_renewed

# The number of a working minute that never comes.
NEVER = 2**26
# So many days after the plan is over nothing is held back by a day, an instrument or a certificate's first
# day any more; a certificate that has run out stays so.
DAYS_AFTER = 120
Outs = tuple[tuple[int, int], ...]
Windows = tuple[tuple[dt.date | None, dt.date | None], ...]
Valid = Windows | None


@dataclass(frozen=True, eq=False)
class Starts:
    """For each working minute of somebody the first from it on at which an operation may begin."""

    following: Times

    def at_or_after(self, number: Times) -> Times:
        return np.maximum(self.following.take(number, mode="clip"), number)

    @cached_property
    def _following(self) -> memoryview:
        return self.following.data

    @property
    def lapses(self) -> bool:
        """Whether a time comes from which on it may not be begun any more."""
        return bool(self.following[-1] == NEVER)

    def one(self, number: int) -> int:
        """`at_or_after` for one, in plain numbers."""
        first: int = self._following[min(number, len(self._following) - 1)]
        return max(number, first)


class Permitted:
    """The starts of a plan's operations, by what narrows them and whose hours they are counted in."""

    def __init__(self, clock: Clock, plan: Plan) -> None:
        self.clock = clock
        self.problem, _told = as_if_renewed(clock.problem, HORIZON_DAYS)
        over = max((clock.minute(one.end) for one in plan.assignments), default=0)
        self.until = min(clock.horizon, over + DAYS_AFTER * MINUTES_A_DAY)
        self._known: dict[tuple[Hours, int, bool, bool, Outs, Valid], Starts] = {}
        self._days: dict[tuple[str | None, str | None], Valid] = {}

    def does(self, operation: Operation, person: str | None, hours: Hours) -> Starts | None:
        """Of whoever does it; None where they may begin at any time."""
        valid = self._valid(person, operation.skill)
        out = self._out(operation) if operation.instruments else ()
        return self._starts(hours, operation.work_minutes, operation.same_day, operation.unbroken, out, valid)

    def joins(self, operation: Operation, person: str, hours: Hours) -> Starts | None:
        """Of somebody of its crew."""
        skills = [crew.skill for crew in operation.crew if self.problem.person[person].ever_may(crew.skill)]
        found = [self._valid(person, skill) for skill in skills]
        valid = None if None in found else next(iter(found), None)
        return self._starts(hours, operation.work_minutes, False, False, (), valid)

    def _out(self, operation: Operation) -> Outs:
        return tuple(
            (span.start, span.stop) for span in map(self.clock.within, away(self.problem, operation))
        )

    def _valid(self, person: str | None, skill: str | None) -> Valid:
        """The days on which somebody has a skill; None for all of them."""
        key = (person, skill)
        if key not in self._days:
            found = valid_days(self.problem.person[person], skill) if person and skill else None
            self._days[key] = None if found is None or (None, None) in found else found
        return self._days[key]

    def _starts(
        self, hours: Hours, minutes: int, same_day: bool, unbroken: bool, out: Outs, valid: Valid
    ) -> Starts | None:
        if not (same_day or unbroken or out or valid is not None):
            return None
        key = (hours, minutes, same_day, unbroken, out, valid)
        if key not in self._known:
            self._known[key] = self._worked_out(*key)
        return self._known[key]

    def _worked_out(
        self, hours: Hours, minutes: int, same_day: bool, unbroken: bool, out: Outs, valid: Valid
    ) -> Starts:
        numbers = np.arange(int(hours.before[self.until]), dtype=np.int32)
        begins = hours.minute_of(numbers)
        ends = hours.past(numbers, np.full_like(numbers, minutes)) if minutes else begins
        good = _within(begins, ends, minutes, same_day, unbroken)
        for first, past in out:
            good &= (ends <= first) | (begins >= past)
        if valid is not None:
            good &= self._covered(begins, ends, valid)
        after = NEVER if valid is not None and self._lapse(valid) else len(numbers)
        table = np.append(np.where(good, numbers, after), after)
        return Starts(np.minimum.accumulate(table[::-1])[::-1].astype(np.int32))

    def _lapse(self, valid: Windows) -> bool:
        """Whether all of them run out before the minutes do that are looked at."""
        return all(last is not None and last < self.clock.moment(self.until).date() for _first, last in valid)

    def _covered(self, begins: Times, ends: Times, valid: Windows) -> Flags:
        good = np.zeros(len(begins), np.bool_)
        base = self.clock.base.date()
        for first, last in valid:
            here = np.ones(len(begins), np.bool_)
            if first is not None:
                here &= begins >= (first - base).days * MINUTES_A_DAY
            if last is not None:
                here &= ends <= ((last - base).days + 1) * MINUTES_A_DAY
            good |= here
        return good


def _within(begins: Times, ends: Times, minutes: int, same_day: bool, unbroken: bool) -> Flags:
    """Whether it ends on its day, and without a break; what never can is begun at any time."""
    good = np.ones(len(begins), np.bool_)
    if same_day:
        good &= begins // MINUTES_A_DAY == ends // MINUTES_A_DAY
    if unbroken:
        good &= ends - begins == minutes
    return good if good.any() else np.ones(len(begins), np.bool_)

"""Working time as a calendar counts it, day by day on plain times; the checker's own arithmetic.

It shares nothing with the axis of the search. Times are naive local times: what the shop's clock shows.
On the night of a clock change a shift is as long as its clock times say, whatever truly passed.
"""

import datetime as dt
from collections.abc import Sequence

from jobs.planning.problem import Person, Problem, Span

LOOK_AHEAD_DAYS = 3660
Stretch = tuple[dt.datetime, dt.datetime]


class NoWorkingTimeError(ValueError):
    """There is not that much working time within ten years."""


class Working:
    """The working time of the people of a problem, each alone or several at once."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self._days: dict[tuple[tuple[str, ...], dt.date], list[Stretch]] = {}

    def on(self, people: Sequence[str], day: dt.date) -> list[Stretch]:
        """The stretches of a day in which all of those work; with nobody, those in which anybody does."""
        key = (tuple(people), day)
        if key not in self._days:
            if not people:
                self._days[key] = self.anybody(day)
            else:
                common = self._alone(self.problem.person[people[0]], day)
                for name in people[1:]:
                    common = _met(common, self._alone(self.problem.person[name], day))
                self._days[key] = common
        return self._days[key]

    def anybody(self, day: dt.date) -> list[Stretch]:
        """The stretches in which the calendar of anybody has working time, absences left aside."""
        used = {person.calendar for person in self.problem.people}
        return _united([one for name in used for one in self._shifts(name, day)])

    def _shifts(self, calendar: str, day: dt.date) -> list[Stretch]:
        midnight = dt.datetime.combine(day, dt.time())
        shifts = self.problem.calendar[calendar].shifts_on(day)
        return [
            (midnight + dt.timedelta(minutes=one.starts), midnight + dt.timedelta(minutes=one.ends))
            for one in shifts
        ]

    def _alone(self, person: Person, day: dt.date) -> list[Stretch]:
        stretches = _united(self._shifts(person.calendar, day))
        for absence in person.absences:
            stretches = _less(stretches, absence)
        return stretches

    def is_working(self, people: Sequence[str], at: dt.datetime) -> bool:
        return any(starts <= at < ends for starts, ends in self.on(people, at.date()))

    def end(self, people: Sequence[str], start: dt.datetime, minutes: int) -> dt.datetime:
        """The instant at which so many minutes of their common working time have passed since the start.

        Raises:
            NoWorkingTimeError: where there is not that much.
        """
        if minutes <= 0:
            return start
        left = dt.timedelta(minutes=minutes)
        for number in range(LOOK_AHEAD_DAYS):
            for starts, ends in self.on(people, start.date() + dt.timedelta(days=number)):
                begins = max(starts, start)
                if begins >= ends:
                    continue
                if left <= ends - begins:
                    return begins + left
                left -= ends - begins
        raise NoWorkingTimeError(f"{', '.join(people) or 'nobody'} has no {minutes} minutes after {start}")

    def minutes_until(self, at: dt.datetime) -> int:
        """W(t) in minutes: the working time from now to then, of anybody, absences left aside."""
        total = dt.timedelta()
        day = self.problem.now.date()
        while day <= at.date():
            for starts, ends in self.on((), day):
                total += max(dt.timedelta(), min(ends, at) - max(starts, self.problem.now))
            day += dt.timedelta(days=1)
        return int(total.total_seconds()) // 60


def _united(stretches: list[Stretch]) -> list[Stretch]:
    whole: list[Stretch] = []
    for starts, ends in sorted(stretches):
        if whole and starts <= whole[-1][1]:
            whole[-1] = (whole[-1][0], max(whole[-1][1], ends))
        else:
            whole.append((starts, ends))
    return whole


def _met(one: list[Stretch], other: list[Stretch]) -> list[Stretch]:
    pairs = [(max(a[0], b[0]), min(a[1], b[1])) for a in one for b in other]
    return [(starts, ends) for starts, ends in pairs if starts < ends]


def _less(stretches: list[Stretch], gap: Span) -> list[Stretch]:
    pieces = [(starts, min(ends, gap.starts)) for starts, ends in stretches]
    pieces += [(max(starts, gap.ends), ends) for starts, ends in stretches]
    return sorted((starts, ends) for starts, ends in pieces if starts < ends)

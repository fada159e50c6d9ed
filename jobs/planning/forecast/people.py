"""When people are free in thousands of samples at once, in the order of the plan.

Each person's time is counted in their own working minutes, so that nights and absences need no arithmetic.
An operation is laid after what the plan has before it, or into a time that was left free before: whoever
waits for something late does meanwhile what fits.
"""

import numpy as np
import numpy.typing as npt

from jobs.planning.forecast.hours import Clock, Flags, Hours, Times

Positions = npt.NDArray[np.int32]
Numbers = npt.NDArray[np.intp]
Rows = Numbers | slice
ALL = slice(None)
# So many free times of a person are kept in mind, the longest; shorter ones are left out.
GAPS, LEAST_GAP = 4, 30
NEVER = 2**30


class People:
    """Of each person the working minute after the last that is taken, and the free times before it."""

    def __init__(self, clock: Clock, count: int) -> None:
        self.number = {person.id: n for n, person in enumerate(clock.problem.people)}
        self.hours: list[Hours] = [clock.hours_of([name]) for name in self.number]
        now = clock.minute(clock.problem.now)
        self.free = np.empty((len(self.hours), count), np.int32)
        for n, hours in enumerate(self.hours):
            self.free[n] = hours.before[now]
        self.gap_begins = np.full((len(self.hours), GAPS, count), NEVER, np.int32)
        self.gap_ends = np.zeros((len(self.hours), GAPS, count), np.int32)

    def earliest(self, person: int, ready: Times, minutes: Times, rows: Rows = ALL) -> Positions:
        """The first working minute from which that person has so many to give."""
        hours = self.hours[person]
        wanted = hours.before[np.minimum(ready, hours.horizon)]
        best = np.maximum(wanted, self.free[person, rows])
        for n in range(GAPS):
            begins = np.maximum(wanted, self.gap_begins[person, n, rows])
            fits = (begins + minutes <= self.gap_ends[person, n, rows]) & (begins < best)
            np.copyto(best, begins, where=fits)
        return best

    def moment(self, person: int, position: Positions) -> Times:
        """When that working minute of the person begins."""
        hours = self.hours[person]
        return hours.at[np.minimum(position, len(hours.at) - 1)]

    def take(self, person: int, position: Positions, minutes: Times, past_by: int, rows: Rows = ALL) -> None:
        """So many working minutes from there on are given; free times that end before `past_by` are past."""
        free, past = self.free[person, rows], position + minutes
        begins, ends = np.minimum(free, position), position.copy()
        for n in range(GAPS):
            self._split(person, n, (position, past), (begins, ends), rows)
        self.free[person, rows] = np.maximum(free, past)
        left = np.flatnonzero(ends - begins >= LEAST_GAP)
        if len(left):
            where = left if isinstance(rows, slice) else rows[left]
            self._keep(person, begins[left], ends[left], where, self.hours[person].before[past_by])

    def _split(
        self,
        person: int,
        n: int,
        taken: tuple[Positions, Positions],
        left: tuple[Positions, Positions],
        rows: Rows,
    ) -> None:
        """Of a free time that part is taken: the longer of what is left of it stays, the other is `left`."""
        position, past = taken
        begins, ends = self.gap_begins[person, n, rows], self.gap_ends[person, n, rows]
        inside: Flags = (position >= begins) & (past <= ends)
        if not inside.any():
            return
        later = ends - past >= position - begins
        first, last = inside & later, inside & ~later
        np.copyto(left[0], begins, where=first)
        np.copyto(left[0], past, where=last)
        np.copyto(left[1], ends, where=last)
        self.gap_begins[person, n, rows] = np.where(first, past, begins)
        self.gap_ends[person, n, rows] = np.where(last, position, ends)

    def _keep(self, person: int, begins: Positions, ends: Positions, where: Numbers, past_by: int) -> None:
        """Another free time is kept in mind, in place of the shortest that is not past."""
        theirs = self.gap_ends[person][:, where]
        lengths = np.where(theirs > past_by, theirs - self.gap_begins[person][:, where], 0)
        shortest = lengths.argmin(axis=0)
        longer = ends - begins > lengths[shortest, np.arange(len(shortest))]
        self.gap_begins[person, shortest[longer], where[longer]] = begins[longer]
        self.gap_ends[person, shortest[longer], where[longer]] = ends[longer]

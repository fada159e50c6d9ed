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
        self.last_gap = np.zeros((len(self.hours), count), np.int32)

    def earliest(self, person: int, ready: Times, minutes: Times, rows: Rows = ALL) -> Positions:
        """The first working minute from which that person has so many to give."""
        hours = self.hours[person]
        wanted = hours.before[np.minimum(ready, hours.horizon)]
        best = np.maximum(wanted, self.free[person, rows])
        some = np.flatnonzero(wanted + minutes <= self.last_gap[person, rows])
        if len(some):
            where = some if isinstance(rows, slice) else rows[some]
            begins = np.maximum(wanted[some], self.gap_begins[person][:, where])
            fits = begins + minutes[some] <= self.gap_ends[person][:, where]
            best[some] = np.minimum(best[some], np.where(fits, begins, NEVER).min(axis=0))
        return best

    def moment(self, person: int, position: Positions) -> Times:
        """When that working minute of the person begins."""
        hours = self.hours[person]
        return hours.at[np.minimum(position, len(hours.at) - 1)]

    def take(self, person: int, position: Positions, minutes: Times, past_by: int, rows: Rows = ALL) -> None:
        """So many working minutes from there on are given; free times that end before `past_by` are past."""
        free, past = self.free[person, rows], position + minutes
        begins, ends = np.minimum(free, position), position.copy()
        between = np.flatnonzero(position < free)
        if len(between):
            where = between if isinstance(rows, slice) else rows[between]
            begins[between], ends[between] = self._split(person, position[between], past[between], where)
        self.free[person, rows] = np.maximum(free, past)
        left = np.flatnonzero(ends - begins >= LEAST_GAP)
        if len(left):
            where = left if isinstance(rows, slice) else rows[left]
            self._keep(person, begins[left], ends[left], where, self.hours[person].before[past_by])

    def _split(
        self, person: int, position: Positions, past: Positions, where: Numbers
    ) -> tuple[Positions, Positions]:
        """Of a free time that part is taken the longer that is left of it stays; the other is handed back."""
        begins, ends = self.gap_begins[person][:, where], self.gap_ends[person][:, where]
        inside: Flags = (position >= begins) & (past <= ends)
        which, column = inside.argmax(axis=0), np.arange(len(where))
        begins, ends, found = begins[which, column], ends[which, column], inside[which, column]
        later = ends - past >= position - begins
        self.gap_begins[person, which, where] = np.where(found & later, past, begins)
        self.gap_ends[person, which, where] = np.where(found & ~later, position, ends)
        other_begins, other_ends = np.where(later, begins, past), np.where(later, position, ends)
        return np.where(found, other_begins, 0), np.where(found, other_ends, 0)

    def _keep(self, person: int, begins: Positions, ends: Positions, where: Numbers, past_by: int) -> None:
        """Another free time is kept in mind, in place of the shortest that is not past."""
        theirs = self.gap_ends[person][:, where]
        lengths = np.where(theirs > past_by, theirs - self.gap_begins[person][:, where], 0)
        shortest = lengths.argmin(axis=0)
        longer = ends - begins > lengths[shortest, np.arange(len(shortest))]
        self.gap_begins[person, shortest[longer], where[longer]] = begins[longer]
        self.gap_ends[person, shortest[longer], where[longer]] = ends[longer]
        self.last_gap[person, where] = np.maximum(self.last_gap[person, where], ends)

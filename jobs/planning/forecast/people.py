"""When people are free in thousands of samples at once, in the order of the plan.

Each person's time is counted in their own working minutes, so that nights and absences need no arithmetic.
An operation is laid after what the plan has before it, or into a time that was left free before: whoever
waits for something late does meanwhile what fits.

What is free of a person are `SLOTS` stretches: some that were left free, and the last, which has no end. A
stretch is named in the lowest bits of the minute at which work in it can begin, a *place*; so the earliest
place is found by one minimum, with no branch in any sample.
"""

import numpy as np
import numpy.typing as npt

from jobs.planning.forecast.hours import SIGN, Clock, Hours, Times
from jobs.planning.forecast.permitted import Starts

Places = npt.NDArray[np.int32]
# So many free times of a person are kept in mind, the longest; shorter ones are left out.
GAPS, LEAST_GAP = 4, 30
SLOTS, LAST = GAPS + 1, GAPS
BITS, LOW = 3, 7
NEVER = 2**30
NAMES = np.arange(SLOTS, dtype=np.int32)[:, None]


class People:
    """Of each person the free stretches, their begins as places, their ends with all low bits set."""

    def __init__(self, clock: Clock, count: int) -> None:
        self.count = count
        self.number = {person.id: n for n, person in enumerate(clock.problem.people)}
        self.hours: list[Hours] = [clock.hours_of([name]) for name in self.number]
        self.hours_of: dict[Hours, list[int]] = {}
        for n, hours in enumerate(self.hours):
            self.hours_of.setdefault(hours, []).append(n)
        now = clock.minute(clock.problem.now)
        shape = (len(self.hours), SLOTS, count)
        self.begins = np.full(shape, NEVER, np.int32)
        self.ends = np.full(shape, LOW, np.int32)
        for n, hours in enumerate(self.hours):
            self.begins[n, LAST] = hours.before[now] << BITS
        self.begins |= NAMES
        self.ends[:, LAST] = NEVER
        self._flat = self.begins.reshape(-1), self.ends.reshape(-1)
        self._samples = np.arange(count, dtype=np.int32)
        self._begin = np.empty((SLOTS, count), np.int32)
        self._over = np.empty((SLOTS, count), np.int32)

    def earliest(self, person: int, wanted: Times, minutes: Times, starts: Starts | None = None) -> Places:
        """The first place, from that working minute on, at which the person has so many minutes to give."""
        begin, over = self._begin, self._over
        np.maximum(self.begins[person], wanted << BITS, out=begin)
        if starts is not None:
            begin >>= BITS
            np.left_shift(starts.at_or_after(begin), BITS, out=begin)
        begin |= NAMES
        np.add(begin, minutes << BITS, out=over)
        np.subtract(self.ends[person], over, out=over)
        np.right_shift(over, SIGN, out=over)
        begin |= over  # where it does not fit all bits are set, which is the largest there is
        found: Places = np.minimum.reduce(begin.view(np.uint32), axis=0).view(np.int32)
        return found

    def moment(self, person: int, place: Places) -> Times:
        """When the working minute of that place begins."""
        return self.hours[person].minute_of(place >> BITS)

    def take(self, by: Times, place: Places, minutes: Times, past_by: int) -> None:
        """So many working minutes from there on are given, in each sample by the person numbered there.

        Of a free stretch the longer of what is left stays, the other is kept in mind beside it. Stretches
        that end before the minute `past_by` are past.
        """
        begins, ends = self._flat
        base = by * (SLOTS * self.count)
        base += self._samples
        slot = place & LOW
        where = (base + slot * self.count).astype(np.intp)
        first, stop = begins.take(where, mode="clip") >> BITS, ends.take(where, mode="clip") >> BITS
        start = place >> BITS
        past = start + minutes
        before, after = start - first, stop - past
        sooner = (after - before) >> SIGN
        gone = np.maximum(past - first, 0)
        begins[where] = ((first + (gone & ~sooner)) << BITS) | slot
        ends[where] = ((stop + ((start - stop) & sooner)) << BITS) | LOW
        left = np.minimum(before, after)
        rows = (left >= LEAST_GAP).nonzero()[0]
        if len(rows):
            begin = first.take(rows) + (gone.take(rows) & sooner.take(rows))
            past_of = np.empty(len(self.hours), np.int32)
            for hours, numbers in self.hours_of.items():
                past_of[numbers] = hours.number_of(past_by)
            self._keep(base.take(rows), begin, left.take(rows), past_of.take(by.take(rows)))

    def _keep(self, base: Times, begin: Times, length: Times, past: Times) -> None:
        """Another free stretch is kept in mind, in place of the shortest that is not past."""
        begins, ends = self._flat
        of = (base + NAMES[:GAPS] * self.count).astype(np.intp)
        theirs = ends.take(of, mode="clip")
        size = (theirs - begins.take(of, mode="clip")) ^ LOW
        size &= (((past << BITS) | LOW) - theirs) >> SIGN
        size |= NAMES[:GAPS]
        shortest = np.minimum.reduce(size, axis=0)
        rows = (length > shortest >> BITS).nonzero()[0]
        slot = shortest.take(rows) & LOW
        where = (base.take(rows) + slot * self.count).astype(np.intp)
        begin, end = begin.take(rows), begin.take(rows) + length.take(rows)
        begins[where] = (begin << BITS) | slot
        ends[where] = (end << BITS) | LOW

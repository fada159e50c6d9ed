"""Which car has which bay, in thousands of samples at once.

Cars go into bays in the order of the plan. Each takes the bay that the plan has for it; where that is still
held when the car was to go in, it takes the first that suits. When a car that has not come to its last
operation yet will leave is worked out as whoever looks at it would: what is left by the plan, and by how
much what is left takes longer.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from jobs.planning.forecast.chain import Stay
from jobs.planning.forecast.hours import Clock, Flags, Hours, Times
from jobs.planning.plan import Plan

# A bay that stood free for less is not asked whether another car fits in between.
GAPS, LEAST_GAP = 4, 60
NEVER = 2**30
Numbers = npt.NDArray[np.int16]


@dataclass(frozen=True)
class Rest:
    """What of a stay is left after each of its operations, in working minutes of the shop.

    `after` by operation; `whole` from its start on; `parts` is when late parts alone let the car go, by the
    number of operations that have begun.
    """

    after: Mapping[str, Times]
    whole: Times
    parts: Sequence[Times | None]


def rest_of(
    stay: Stay, plan: Plan, hours: Hours, clock: Clock, took: Mapping[str, Times], parts: Mapping[str, Times]
) -> Rest:
    """By the plan, and by how much the longest way through what is left takes longer than it has."""
    names = stay.operations
    tail: dict[str, Times] = {}
    standard: dict[str, int] = {}
    following = {name: [n for n in names if name in stay.before[n]] for name in names}
    nothing = np.zeros_like(took[names[0]])
    for name in reversed(names):
        tail[name], standard[name] = nothing, 0
        for other in following[name]:
            tail[name] = np.maximum(tail[name], took[other] + tail[other])
            standard[name] = max(standard[name], stay.minutes[other] + standard[other])
    begins, ends = (int(hours.before[clock.minute(at)]) for at in (stay.begins, stay.ends))
    after = {
        name: np.maximum(
            0, tail[name] + (ends - int(hours.before[clock.minute(plan.of[name].end)]) - standard[name])
        )
        for name in names
    }
    longest = np.maximum.reduce([took[name] + tail[name] for name in names])
    usual = max(stay.minutes[name] + standard[name] for name in names)
    held: list[Times | None] = [None]
    for name in reversed(names):
        latest = held[-1]
        if name in parts:
            leaves = hours.end(parts[name], took[name] + tail[name])
            latest = leaves if latest is None else np.maximum(latest, leaves)
        held.append(latest)
    return Rest(after, np.maximum(0, longest + (ends - begins - usual)), held[::-1])


class Bays:
    """From when each bay is free in each sample, and which stay has it until then."""

    def __init__(self, clock: Clock, stays: Sequence[Stay], count: int) -> None:
        self.clock, self.stays = clock, stays
        self.hours = clock.hours_of([])
        problem = clock.problem
        self.number = {bay.id: n for n, bay in enumerate(problem.bays)}
        self.now = clock.minute(problem.now)
        self.free = np.full((len(problem.bays), count), self.now, np.int32)
        self.gap_begins = np.full((len(problem.bays), GAPS, count), NEVER, np.int32)
        self.gap_ends = np.zeros((len(problem.bays), GAPS, count), np.int32)
        self.holder = np.full((len(problem.bays), count), -1, np.int16)
        self.bay_of = np.full((len(stays), count), -1, np.int16)
        self.next_in = np.full((len(stays), count), -1, np.int16)
        self.avail = np.zeros((len(stays), count), np.int32)
        self.closed = [
            sorted((span.start, span.stop) for span in map(clock.within, bay.down)) for bay in problem.bays
        ]

    def stands(self, n: int, leaves: Times) -> None:
        """The car stands in its bay already, and will leave it then."""
        bay = self.number[self.stays[n].bay]
        self.free[bay], self.holder[bay], self.bay_of[n] = leaves, n, bay
        self.avail[n] = self.now

    def enter(self, n: int, ready: Times, rest: Rest) -> Numbers:
        """From when the car has a bay, and by which stay it was held before (-1 for none)."""
        stay = self.stays[n]
        due, first = self.clock.minute(stay.begins), self.number[stay.bay]
        at, inside = self._from(first, ready, rest.whole)
        bay = np.full(len(at), first, np.int16)
        late = at > due
        others = [self.number[name] for name in stay.fits if name != stay.bay]
        if others and late.any():
            waits = np.where(late, np.maximum(ready, due + 1), NEVER)
            for other in others:
                then, between = self._from(other, waits, rest.whole)
                better = then < at
                np.copyto(at, then, where=better)
                bay[better] = other
                np.copyto(inside, between, where=better)
        return self._take(n, at, bay, inside, rest)

    def _from(self, bay: int, ready: Times, length: Times) -> tuple[Times, Flags]:
        """From when the bay can be had; whether that is before the car that it is given to already."""
        at = np.maximum(ready, self.free[bay])
        inside = np.zeros(len(at), np.bool_)
        for n in reversed(range(GAPS)):
            between = np.maximum(ready, self.gap_begins[bay, n])
            fits = between < self.gap_ends[bay, n]
            if fits.any():
                fits &= self.hours.end(between, length) <= self.gap_ends[bay, n]
                np.copyto(at, between, where=fits)
                inside |= fits
        for begins, ends in self.closed[bay]:
            leaves = self.hours.end(at, length)
            at = np.where((at < ends) & (leaves > begins), np.maximum(at, ends), at)
        return at, inside

    def _take(self, n: int, at: Times, bay: Numbers, inside: Flags, rest: Rest) -> Numbers:
        held_by = np.full(len(at), -1, np.int16)
        leaves = self.hours.end(at, rest.whole)
        for one in np.unique(bay):
            mine = bay == one
            last, between = mine & ~inside, mine & inside
            held_by[last] = self.holder[one, last]
            idle = last & (at - self.free[one] >= LEAST_GAP)
            for k in range(GAPS):
                here = between & (at >= self.gap_begins[one, k]) & (at < self.gap_ends[one, k])
                later = self.gap_ends[one, k] - leaves >= at - self.gap_begins[one, k]
                np.copyto(self.gap_begins[one, k], leaves, where=here & later)
                np.copyto(self.gap_ends[one, k], at, where=here & ~later)
            for k in range(GAPS - 1):
                np.copyto(self.gap_begins[one, k], self.gap_begins[one, k + 1], where=idle)
                np.copyto(self.gap_ends[one, k], self.gap_ends[one, k + 1], where=idle)
            np.copyto(self.gap_begins[one, -1], self.free[one], where=idle)
            np.copyto(self.gap_ends[one, -1], at, where=idle)
            np.copyto(self.free[one], leaves, where=last)
            self.holder[one, last] = n
        rows = np.flatnonzero(held_by >= 0)
        self.next_in[held_by[rows], rows] = n
        self.bay_of[n], self.avail[n] = bay, at
        held_by[at <= self.now] = -1
        return held_by

    def goes_on(self, n: int, leaves: Times) -> None:
        """As far as is known now the car leaves its bay then."""
        for one in self._bays(n):
            np.copyto(self.free[one], leaves, where=self.holder[one] == n)

    def left(self, n: int, at: Times) -> None:
        """The car has left its bay; whoever was to have it after it has it from then on."""
        self.goes_on(n, at)
        after = self.next_in[n]
        rows = np.flatnonzero(after >= 0)
        if len(rows):
            self.avail[after[rows], rows] = np.maximum(self.avail[after[rows], rows], at[rows])

    def _bays(self, n: int) -> Iterable[int]:
        return np.unique(self.bay_of[n])

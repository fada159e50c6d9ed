"""Which car has which bay, in thousands of samples at once.

Cars go into bays in the order of the plan. Each takes the bay that the plan has for it; where that is still
held when the car was to go in, it takes the first that suits. When a car that has not come to its last
operation yet will leave is worked out as whoever looks at it would: what is left by the plan, and by how
much what is left takes longer.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jobs.planning.forecast.chain import Stay
from jobs.planning.forecast.hours import SIGN, Clock, Hours, Times, put, where
from jobs.planning.plan import Plan

# A bay that stood free for less is not asked whether another car fits in between.
GAPS, LEAST_GAP = 4, 60
NEVER = 2**30
# No stay has that number.
NOBODY = 2**15 - 1


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
        self.holder = np.full((len(problem.bays), count), NOBODY, np.int32)
        self.bay_of = np.full((len(stays), count), -1, np.int32)
        self.next_in = np.full((len(stays), count), -1, np.int32)
        self.bays_of: list[tuple[int, ...]] = [()] * len(stays)
        self.avail = np.zeros((len(stays), count), np.int32)
        self.closed = [
            sorted((span.start, span.stop) for span in map(clock.within, bay.down)) for bay in problem.bays
        ]

    def stands(self, n: int, leaves: Times) -> None:
        """The car stands in its bay already, and will leave it then."""
        bay = self.number[self.stays[n].bay]
        self.free[bay], self.holder[bay], self.bay_of[n] = leaves, n, bay
        self.bays_of[n] = (bay,)
        self.avail[n] = self.now

    def enter(self, n: int, ready: Times, rest: Rest) -> Times:
        """From when the car has a bay, and by which stay it was held before (`NOBODY` for none)."""
        stay = self.stays[n]
        due, first = self.clock.minute(stay.begins), self.number[stay.bay]
        at, inside = self._from(first, ready, rest.whole)
        bay = np.full(len(at), first, np.int32)
        late = at > due
        others = [self.number[name] for name in stay.fits if name != stay.bay]
        if others and late.any():
            waits = np.where(late, np.maximum(ready, due + 1), NEVER)
            for other in others:
                then, between = self._from(other, waits, rest.whole)
                better = (then - at) >> SIGN
                put(inside, between, better)
                put(at, then, better)
                put(bay, other, better)
        return self._take(n, at, bay, inside, rest)

    def _from(self, bay: int, ready: Times, length: Times) -> tuple[Times, Times]:
        """From when the bay can be had; whether that is before the car that it is given to already."""
        at = np.maximum(ready, self.free[bay])
        inside = np.zeros_like(at)
        for n in reversed(range(GAPS)):
            between = np.maximum(ready, self.gap_begins[bay, n])
            fits = (between - self.gap_ends[bay, n]) >> SIGN
            if fits.any():
                fits &= ~((self.gap_ends[bay, n] - self.hours.end(between, length)) >> SIGN)
                put(at, between, fits)
                inside |= fits
        for begins, ends in self.closed[bay]:
            leaves = self.hours.end(at, length)
            at = np.where((at < ends) & (leaves > begins), np.maximum(at, ends), at)
        return at, inside

    def _take(self, n: int, at: Times, bay: Times, inside: Times, rest: Rest) -> Times:
        """The car goes in; `inside` where before the car that has the bay, all bits set."""
        held_by = np.full(len(at), NOBODY, np.int32)
        leaves = self.hours.end(at, rest.whole)
        self.bays_of[n] = tuple(np.flatnonzero(np.bincount(bay)).tolist())
        for one in self.bays_of[n]:
            mine = where(bay, one)
            last = mine & ~inside
            put(held_by, self.holder[one], last)
            self._split(one, at, leaves, mine & inside)
            self._keep(one, at, last & ~((at - self.free[one] - LEAST_GAP) >> SIGN))
            put(self.free[one], leaves, last)
            put(self.holder[one], n, last)
        rows = np.flatnonzero(held_by != NOBODY)
        self.next_in[held_by[rows], rows] = n
        self.bay_of[n], self.avail[n] = bay, at
        held_by[at <= self.now] = NOBODY
        return held_by

    def _split(self, bay: int, at: Times, leaves: Times, here: Times) -> None:
        """Of the time in which the bay stood free the longer of what is left stays."""
        if not here.any():
            return
        for begins, ends in zip(self.gap_begins[bay], self.gap_ends[bay], strict=True):
            mine = here & ((at - ends) >> SIGN) & ~((at - begins) >> SIGN)
            sooner = (ends - leaves - (at - begins)) >> SIGN
            put(ends, at, mine & sooner)
            put(begins, leaves, mine & ~sooner)

    def _keep(self, bay: int, at: Times, idle: Times) -> None:
        """Until then the bay stands free: the latest such times are kept in mind."""
        for of, latest in ((self.gap_begins[bay], self.free[bay]), (self.gap_ends[bay], at)):
            for k in range(GAPS - 1):
                put(of[k], of[k + 1], idle)
            put(of[-1], latest, idle)

    def goes_on(self, n: int, leaves: Times) -> None:
        """As far as is known now the car leaves its bay then."""
        for one in self.bays_of[n]:
            put(self.free[one], leaves, where(self.holder[one], n))

    def left(self, n: int, at: Times) -> None:
        """The car has left its bay; whoever was to have it after it has it from then on."""
        self.goes_on(n, at)
        after = self.next_in[n]
        rows = np.flatnonzero(after >= 0)
        if len(rows):
            self.avail[after[rows], rows] = np.maximum(self.avail[after[rows], rows], at[rows])

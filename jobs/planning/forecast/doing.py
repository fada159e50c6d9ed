"""Who does each operation, and when, in all samples at once.

It begins when whom the plan has for it is free; where that is late by the plan, whoever may do it and can
begin first does. Nobody does one of two operations that must not be done by the same person.
"""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from jobs.planning.apart import tied_by
from jobs.planning.forecast.chain import able
from jobs.planning.forecast.hours import SIGN, Clock, Flags, Hours, Times, put, who_may
from jobs.planning.forecast.people import BITS, LAST, People, Places
from jobs.planning.forecast.permitted import NEVER, Permitted
from jobs.planning.plan import Plan
from jobs.planning.problem import Operation

# The place, the start and the number of the person in each sample, as found so far.
Found = tuple[Places, Times, Times]


class Doing:
    """The people of a plan and what each has been given; `took` are the minutes of each operation."""

    def __init__(self, clock: Clock, plan: Plan, took: Mapping[str, Times], count: int) -> None:
        self.clock, self.plan, self.took, self.count = clock, plan, took, count
        self.problem = clock.problem
        self.people = People(clock, count)
        self.names = list(self.people.number)
        self.permitted = Permitted(clock, plan)
        self.shop_hours = clock.hours_of([])
        self.tied = tied_by(clock.problem)
        self.pinned = {pin.operation for pin in clock.problem.pins}
        self.did: dict[str, Times] = {}
        self._known: dict[str | tuple[str | None], list[int]] = {}

    def goes_on(self, operation: Operation, now: int) -> tuple[Times, Times]:
        """An operation that is under way: from now to its end."""
        start = np.full(self.count, now, np.int32)
        numbers = self._planned(operation)
        hours = self.people.hours[numbers[0]] if numbers else self.shop_hours
        end = hours.end(start, self.took[operation.id])
        self._occupy(numbers, start, end, now)
        if operation.person is not None:
            self.did[operation.id] = np.full(self.count, numbers[0], np.int32)
        return start, end

    def passes(self, operation: Operation, ready: Times) -> tuple[Times, Times]:
        """An operation that takes nobody."""
        wanted, minutes = self.shop_hours.worked_by(ready), self.took[operation.id]
        starts = self.permitted.does(operation, None, self.shop_hours)
        start = self.shop_hours.minute_of(starts.at_or_after(wanted) if starts else wanted)
        return start, self.shop_hours.end(start, minutes)

    def done(self, operation: Operation, ready: Times) -> tuple[Times, Times, Flags]:
        """When it begins and ends, and in which samples whom the plan has was not free when it was ready."""
        first, *crew = self._planned(operation)
        minutes, due = self.took[operation.id], self.clock.minute(self.plan.of[operation.id].start)
        wanted = self.people.hours[first].worked_by(ready)
        at = self._together(first, crew, wanted, operation)
        start = self.people.moment(first, at)
        short = at >> BITS > wanted
        found = at, start, np.full(self.count, first, np.int32)
        late = short & (start > due + 1)
        if not crew and late.any():
            self._step_in(operation, first, self._able(operation), np.maximum(ready, due + 1), found, late)
        if (at >> BITS).max() >= NEVER:
            self._whoever(operation, first, ready, found)
        end = self._ends(found, minutes) if operation.work_minutes else start
        self.people.take(found[2], at, minutes, due)
        self._occupy(crew, start, end, due)
        self.did[operation.id] = found[2]
        return start, end, short

    def _able(self, operation: Operation) -> Sequence[int]:
        """Who may do it; the same for all of a skill that are neither pinned nor tied to others."""
        tied = self.tied.get(operation.id, ())
        key = operation.id if tied or operation.id in self.pinned else (operation.skill,)
        if key not in self._known:
            names = able(self.problem, operation, tied)
            self._known[key] = [self.people.number[name] for name in names]
        return self._known[key]

    def _planned(self, operation: Operation) -> list[int]:
        """Whom the plan has for it, then its crew."""
        one, number = self.plan.of[operation.id], self.people.number
        return [number[name] for name in (one.person, *one.others) if name in number]

    def _occupy(self, numbers: Iterable[int], start: Times, end: Times, due: int) -> None:
        """Those people are busy from then till then, whatever they were to do."""
        for number in numbers:
            hours = self.people.hours[number]
            position = hours.worked_by(start)
            minutes = hours.worked_by(end) - position
            free = self.people.earliest(number, position, minutes)
            place = np.where(free >> BITS == position, free, position << BITS | LAST)
            self.people.take(np.full(self.count, number, np.int32), place, minutes, due)

    def _step_in(
        self,
        operation: Operation,
        first: int,
        numbers: Iterable[int],
        ready: Times,
        found: Found,
        late: Flags,
    ) -> None:
        """Of those people, whoever else can begin sooner where it is late does."""
        at, start, by = found
        best = start * late  # nobody is sooner where it is not late
        wanted: dict[Hours, Times] = {}
        for other in numbers:
            if other == first:
                continue
            hours = self.people.hours[other]
            if hours not in wanted:
                wanted[hours] = hours.worked_by(ready)
            place = self._alone(other, wanted[hours], operation)
            begins = self.people.moment(other, place)
            sooner = (begins - best) >> SIGN
            put(at, place, sooner)
            put(by, other, sooner)
            np.minimum(best, begins, out=best)
        put(start, best, (best - start) >> SIGN & ~((best - 1) >> SIGN))

    def _whoever(self, operation: Operation, first: int, ready: Times, found: Found) -> None:
        """Where those who were to do it may not any more: anybody who may; if nobody may, they do."""
        at, start, by = found
        anybody = [self.people.number[name] for name in who_may(self.problem, operation.skill)]
        self._step_in(operation, first, anybody, ready, found, at >> BITS >= NEVER)
        never = at >> BITS >= NEVER
        place = self.people.earliest(
            first, self.people.hours[first].worked_by(ready), self.took[operation.id]
        )
        np.copyto(at, place, where=never)
        np.copyto(start, self.people.moment(first, place), where=never)
        np.copyto(by, first, where=never)

    def _ends(self, found: Found, minutes: Times) -> Times:
        at, _start, by = found
        position = at >> BITS
        hours = self.people.hours[int(by[0])]
        end = hours.past(position, minutes)
        for theirs, numbers in self.people.hours_of.items():
            if theirs is hours:
                continue
            for other in numbers:
                rows = (by == other).nonzero()[0]
                if len(rows):
                    end[rows] = theirs.past(position.take(rows), minutes.take(rows))
        return end

    def _alone(self, person: int, wanted: Times, operation: Operation) -> Places:
        """The place from which that person can do it alone."""
        starts = self.permitted.does(operation, self.names[person], self.people.hours[person])
        at = self.people.earliest(person, wanted, self.took[operation.id], starts)
        for name in self.tied.get(operation.id, ()):
            if name in self.did:
                np.copyto(at, NEVER << BITS | LAST, where=self.did[name] == person)
        return at

    def _together(self, first: int, crew: Sequence[int], wanted: Times, operation: Operation) -> Places:
        """The place of the first from which the others are free too."""
        at = self._alone(first, wanted, operation)
        hours = self.people.hours
        for other in crew:
            ready = self.people.moment(first, at)
            starts = self.permitted.joins(operation, self.names[other], hours[other])
            wants = hours[other].worked_by(ready)
            theirs = self.people.earliest(other, wants, self.took[operation.id], starts)
            both = np.maximum(ready, self.people.moment(other, theirs))
            at = self._alone(first, hours[first].worked_by(both), operation)
        return at

"""Who may do an operation: people who are alike as one pool, and the ways in which it can be manned."""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import combinations_with_replacement, islice, product

import numpy as np

from jobs.planning.axis import Axis, Conditions, Flags, Timing, timing_of, without, working_flags
from jobs.planning.compiled import Mode, Pool
from jobs.planning.problem import Operation, Person, PinKind, Problem, Span, Status

MOST_MODES = 60
Window = tuple[dt.date | None, dt.date | None]


class Manning:
    """The people of a problem on its axis. Who is pinned, or must be told apart, is a pool of one.

    So is who may do what takes no time: that falls between two works of one person, not into one of them,
    and only one by one the solver can see to that.
    """

    def __init__(self, problem: Problem, axis: Axis) -> None:
        self.problem, self.axis = problem, axis
        self.pinned = {
            pin.operation: [
                one.person for one in problem.pins if one.operation == pin.operation and one.person
            ]
            for pin in problem.pins
            if pin.kind is PinKind.PERSON
        }
        self.number = {person.id: number for number, person in enumerate(problem.people)}
        self.works = [self._works(person) for person in problem.people]
        self.everybody = np.ones(len(axis), dtype=bool)
        alone = self._alone()
        groups: dict[tuple[object, ...], list[int]] = {}
        for number, one in enumerate(problem.people):
            own = one.id if one.id in alone else ""
            key = (one.calendar, one.absences, one.skills, one.certificates, own)
            groups.setdefault(key, []).append(number)
        self.pools = tuple(Pool(tuple(ones), self.works[ones[0]]) for ones in groups.values())
        self.pool_of = {one: number for number, pool in enumerate(self.pools) for one in pool.members}
        self._timings: dict[tuple[object, ...], Timing] = {}

    def _works(self, person: Person) -> Flags:
        axis = self.axis
        flags = working_flags(self.problem.calendar[person.calendar], axis.base, axis.unit, axis.days)
        there = without(flags, person.absences, axis.base, axis.unit)
        return np.asarray(there[axis.minutes // axis.unit])

    def _alone(self) -> set[str]:
        alone = {name for names in self.pinned.values() for name in names}
        for one in self.problem.operations():
            if one.status is Status.TODO and not one.work_minutes:
                alone |= {who.id for who in self.problem.people if any(map(who.ever_may, _skills(one)))}
            for other in set(one.not_same_person_as) & self.problem.operation.keys():
                theirs = _skills(self.problem.operation[other])
                alone |= {
                    who.id
                    for who in self.problem.people
                    if any(map(who.ever_may, _skills(one))) and any(map(who.ever_may, theirs))
                }
        return alone

    def numbers(self, names: Iterable[str]) -> tuple[int, ...]:
        return tuple(self.number[name] for name in names)

    def pool_named(self, name: str | None) -> int:
        return self.pool_of[self.number[name]] if name in self.number else -1

    def common(self, people: Sequence[int]) -> Flags:
        """The slots in which all of them work."""
        works = self.everybody
        for one in people:
            works = works & self.works[one]
        return works

    def fixed_mode(self, people: Sequence[int]) -> Mode:
        """The mode of a running operation: those people, wherever it ends."""
        demands = Counter(self.pool_of[one] for one in people)
        nothing = timing_of(self.axis, self.everybody, Conditions(0))
        return Mode(tuple(demands.items()), nothing)

    def modes(self, one: Operation, slots: int, excluded: set[str]) -> tuple[Mode, ...]:
        """The ways to man it that have a start anywhere on the axis."""
        if one.skill is None and self.pinned.get(one.id):
            return ()
        conditions = Conditions(slots, one.same_day, one.unbroken, away(self.problem, one))
        if one.skill is None and not one.crew:
            return (Mode((), self._timing((), conditions, None)),)
        choices = [self._choices(one.skill, 1, excluded, self.pinned.get(one.id))] if one.skill else []
        choices += [self._choices(crew.skill, crew.count, excluded, None) for crew in one.crew]
        found = []
        for picks in islice(product(*choices), MOST_MODES):
            pools = [pool for pick, _ in picks for pool in pick]
            demands = Counter(pools)
            if any(count > self.pools[pool].size for pool, count in demands.items()):
                continue
            valid = _both([windows for _, several in picks for windows in several])
            found.append(Mode(tuple(demands.items()), self._timing(tuple(demands), conditions, valid)))
        return tuple(mode for mode in found if mode.timing.following[0] < len(self.axis))

    def _choices(
        self, skill: str, count: int, excluded: set[str], pinned: list[str] | None
    ) -> list[tuple[tuple[int, ...], list[tuple[Window, ...] | None]]]:
        """The picks of so many people with the skill: their pools, and the days on which each has it."""
        able = {}
        for number, pool in enumerate(self.pools):
            person = self.problem.people[pool.members[0]]
            if person.id in excluded or not person.ever_may(skill):
                continue
            if pinned is not None and any(name != person.id for name in pinned):
                continue
            able[number] = valid_days(person, skill)
        picks = combinations_with_replacement(sorted(able), count)
        return [(pick, [able[pool] for pool in pick]) for pick in islice(picks, MOST_MODES)]

    def _timing(
        self, pools: tuple[int, ...], conditions: Conditions, valid: tuple[Window, ...] | None
    ) -> Timing:
        whole = Conditions(conditions.slots, conditions.same_day, conditions.unbroken, conditions.away, valid)
        works = self.common([self.pools[pool].members[0] for pool in pools])
        key = (works.tobytes(), whole)
        if key not in self._timings:
            self._timings[key] = timing_of(self.axis, works, whole)
        return self._timings[key]


def away(problem: Problem, one: Operation) -> tuple[Span, ...]:
    """When an instrument that it takes is out: all of its kind at once."""
    found: list[Span] = []
    for kind in one.instruments:
        outs = [instrument.out for instrument in problem.instruments if instrument.kind == kind]
        common = list(outs[0]) if outs else []
        for out in outs[1:]:
            pairs = [(a, b) for a in common for b in out if a.overlaps(b)]
            common = [Span(max(a.starts, b.starts), min(a.ends, b.ends)) for a, b in pairs]
        found += common
    return tuple(sorted(found))


def _skills(one: Operation) -> set[str]:
    return {*([one.skill] if one.skill else []), *(crew.skill for crew in one.crew)}


def valid_days(person: Person, skill: str) -> tuple[Window, ...] | None:
    """The days on which somebody has a skill; None for all of them."""
    if skill in person.skills:
        return None
    held = [one for one in person.certificates if one.skill == skill]
    return tuple((one.valid_from, one.valid_until) for one in held)


def _both(several: Sequence[tuple[Window, ...] | None]) -> tuple[Window, ...] | None:
    """The days on which all of those have their skills."""
    common: tuple[Window, ...] | None = None
    for windows in several:
        if windows is None:
            continue
        if common is None:
            common = windows
            continue
        met = []
        for (first, last), (begins, ends) in product(common, windows):
            starts = max((day for day in (first, begins) if day), default=None)
            stops = min((day for day in (last, ends) if day), default=None)
            if not (starts and stops and stops < starts):
                met.append((starts, stops))
        common = tuple(met)
    return common

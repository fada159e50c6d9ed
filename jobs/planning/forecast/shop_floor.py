"""The floor as the simulation knows it: everything by number, the same in all samples."""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from jobs.planning.apart import tied_by
from jobs.planning.forecast.chain import Link, able, links, next_up, suitable
from jobs.planning.forecast.hours import Clock, Hours, Times, who_may
from jobs.planning.forecast.permitted import Permitted, Starts
from jobs.planning.plan import Plan
from jobs.planning.problem import Bay, Job, Operation, Problem, Segment, Status


@dataclass(frozen=True)
class Task:
    """An operation as the floor knows it: numbers, so that a sample is quick.

    `due` is when the plan has it begin, `planned` whom the plan has for it and its crew, `people` who may do
    it, whom the plan has first; `instead` who does where none of those may any more. `expected` are its
    minutes as far as anybody knows beforehand, `permits` the starts of who may not begin it at any time;
    `lapses` where one of them may not for ever. `needs` has a bit for each whom the plan has, `any_of` for
    each of whom one at least has to be there.
    """

    name: str
    job: int
    rank: int
    due: int
    expected: int
    planned: tuple[int, ...]
    people: tuple[int, ...]
    instead: tuple[int, ...]
    permits: Mapping[int, Starts]
    lapses: bool
    needs: int
    any_of: int
    after: tuple[int, ...]
    stay: int
    not_before: int
    parts_at: int | None
    apart: tuple[int, ...]
    crew: tuple[tuple[tuple[int, ...], int], ...]
    takes_nobody: bool
    running_by: tuple[int, ...] | None


@dataclass(frozen=True)
class Way:
    """A segment of a car: the bays that it may have, the plan's first, and what comes after it.

    `due` is when the plan has it go in, `length` for how long, in minutes of the clock. It does not go in
    before those `behind` which it is.
    """

    bays: tuple[int, ...]
    standing_in: int | None
    tasks: tuple[int, ...]
    rolls: bool
    due: int
    length: int
    follows: int | None
    behind: tuple[int, ...] = ()


# In place of a person's number, where an operation takes nobody.
SHOP = -1


class Shop:
    """What is the same in all samples. `turns` are the tasks of each person by the plan, `lines` the ways of
    each bay."""

    def __init__(self, problem: Problem, plan: Plan, clock: Clock) -> None:
        self.problem, self.plan, self.clock = problem, plan, clock
        self.now = clock.minute(problem.now)
        self.links = links(problem, plan)
        self.number = {link.operation.id: n for n, link in enumerate(self.links)}
        self.person = {person.id: n for n, person in enumerate(problem.people)}
        self.job = {job.id: n for n, job in enumerate(problem.jobs)}
        self.hours: list[Hours] = [clock.hours_of([person.id]) for person in problem.people]
        self.anybody = clock.hours_of([])
        self.kinds = [
            (one, _bits(n for n, theirs in enumerate(self.hours) if theirs is one))
            for one in dict.fromkeys(self.hours)
        ]
        self.shifts = sorted({int(one) for hours in self.hours for one in _begins(hours)})
        self.closed = [_closed(bay, clock) for bay in problem.bays]
        self.permitted, self.tied = Permitted(clock, plan), tied_by(problem)
        self.ways: list[Way] = []
        self._way_of: dict[tuple[str, str], int] = {}
        for job in problem.jobs:
            self._lay_ways(job)
        first, others = next_up(problem, plan)
        behind = tuple(self._way_of[one] for one in first if one in self._way_of)
        for one in sorted(others & self._way_of.keys()):
            self.ways[self._way_of[one]] = replace(self.ways[self._way_of[one]], behind=behind)
        self.kept_for = {way.follows: n for n, way in enumerate(self.ways) if way.follows is not None}
        self.tasks = [self._task(n, link) for n, link in enumerate(self.links)]
        self.follow: list[list[int]] = [[] for _ in self.tasks]
        for n, task in enumerate(self.tasks):
            for before in task.after:
                self.follow[before].append(n)
        self.turns = [
            [n for n, task in enumerate(self.tasks) if person in task.planned]
            for person in range(len(problem.people))
        ]
        self.lines = self._lines()

    def at_work(self, now: int) -> int:
        """A bit for each whose working time that minute is."""
        return sum(bits for hours, bits in self.kinds if hours.works(now))

    def next_shift(self, now: int) -> int:
        """When somebody's next shift begins after that minute; the horizon if none does."""
        at = bisect_right(self.shifts, now)
        return self.shifts[at] if at < len(self.shifts) else self.clock.horizon

    def _lines(self) -> list[list[int]]:
        lines: list[list[int]] = [[] for _ in self.problem.bays]
        for n, way in sorted(enumerate(self.ways), key=lambda pair: (pair[1].due, pair[0])):
            if way.standing_in is None:
                lines[way.bays[0]].append(n)
        return lines

    def _lay_ways(self, job: Job) -> None:
        earlier: int | None = None
        for segment in job.segments:
            names = [o.id for o in job.operations if o.segment == segment.id and o.id in self.number]
            if not names:
                continue
            self._way_of[job.id, segment.id] = len(self.ways)
            follows = earlier if earlier is not None and not self.ways[earlier].rolls else None
            earlier = len(self.ways)
            self.ways.append(self._way(job, segment, names, follows))

    def _way(self, job: Job, segment: Segment, names: list[str], follows: int | None) -> Way:
        bays = {bay.id: n for n, bay in enumerate(self.problem.bays)}
        planned = self.plan.of[names[0]].bay
        first = [bays[planned]] if planned is not None else []
        fit = [bays[name] for name in suitable(self.problem, job, segment)]
        begins = [self.clock.minute(self.plan.of[name].start) for name in names]
        ends = [self.clock.minute(self.plan.of[name].end) for name in names]
        return Way(
            bays=(*first, *(n for n in fit if n not in first)),
            standing_in=bays[segment.bay] if segment.bay else None,
            tasks=tuple(self.number[name] for name in names),
            rolls=segment.rolls,
            due=min(begins),
            length=max(ends) - min(begins),
            follows=follows,
        )

    def _asked(self, able: Sequence[str], plan_first: str | None = None) -> tuple[int, ...]:
        """Who may do it, as they are asked: whom the plan has, then who can do the fewest other things."""

        def asked(name: str) -> tuple[bool, int, str]:
            one = self.problem.person[name]
            return (name != plan_first, len(one.skills) + len(one.certificates), name)

        return tuple(self.person[name] for name in sorted(able, key=asked))

    def _task(self, rank: int, link: Link) -> Task:
        operation = link.operation
        assigned = self.plan.of[operation.id]
        parts, tied = operation.parts_at, self.tied.get(operation.id, ())
        names = [*([assigned.person] if assigned.person else []), *assigned.others]
        planned = tuple(self.person[name] for name in names if name in self.person)
        does = self._asked(able(self.problem, operation, tied), plan_first=assigned.person)
        instead = self._asked(who_may(self.problem, operation.skill))
        crew = tuple((self._asked(who_may(self.problem, one.skill)), one.count) for one in operation.crew)
        permits = dict(self._permits(operation))
        lapses = any(starts.lapses for starts in permits.values())
        doers = [*does, *(instead if lapses else ())]
        return Task(
            name=operation.id,
            job=self.job[link.job.id],
            rank=rank,
            due=self.clock.minute(assigned.start),
            expected=operation.work_minutes,
            planned=planned,
            people=does,
            instead=instead,
            permits=permits,
            lapses=lapses,
            needs=_bits(planned),
            any_of=_bits(doers if operation.skill else [n for who, _count in crew for n in who]),
            after=tuple(self.number[name] for name in link.after if name in self.number),
            stay=self._way_of.get((link.job.id, operation.segment or ""), -1),
            not_before=self.clock.minute(link.not_before),
            parts_at=self.clock.minute(parts) if parts else None,
            apart=tuple(sorted(self.number[n] for n in tied if n in self.number)),
            crew=crew,
            takes_nobody=operation.skill is None,
            running_by=planned if operation.status is Status.RUNNING else None,
        )

    def _permits(self, operation: Operation) -> Iterator[tuple[int, Starts]]:
        if operation.skill is None and not operation.crew:
            if starts := self.permitted.does(operation, None, self.anybody):
                yield SHOP, starts
            return
        for name, number in self.person.items():
            who, hours = self.problem.person[name], self.hours[number]
            joins = any(who.ever_may(one.skill) for one in operation.crew)
            does = operation.skill is None or who.ever_may(operation.skill)
            starts = self.permitted.does(operation, name, hours) if does else None
            if not does and joins:
                starts = self.permitted.joins(operation, name, hours)
            if starts is not None:
                yield number, starts


def _bits(numbers: Iterable[int]) -> int:
    found = 0
    for number in numbers:
        found |= 1 << number
    return found


def _begins(hours: Hours) -> Times:
    """The minutes at which work begins after a time without."""
    return hours.at[np.flatnonzero(np.diff(hours.at, prepend=-2) > 1)]


def _closed(bay: Bay, clock: Clock) -> tuple[tuple[int, int], ...]:
    spans = (clock.within(span) for span in bay.down)
    return tuple(sorted((span.start, span.stop) for span in spans))

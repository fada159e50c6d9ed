"""The floor as the simulation knows it: everything by number, the same in all samples."""

from dataclasses import dataclass, replace

from jobs.planning.forecast.chain import Link, links
from jobs.planning.forecast.hours import Clock, Hours, who_may
from jobs.planning.plan import Plan
from jobs.planning.problem import Bay, Problem, Status


@dataclass(frozen=True)
class Task:
    """An operation as the floor knows it: numbers, so that a sample is quick."""

    name: str
    job: int
    rank: int
    people: tuple[int, ...]
    after: tuple[int, ...]
    stay: int
    not_before: int
    parts_at: int | None
    apart: tuple[int, ...]
    crew: tuple[tuple[tuple[int, ...], int], ...]
    takes_nobody: bool
    running_by: int | None


@dataclass(frozen=True)
class Way:
    """A segment of a car: the bays that it may have, the plan's first, and what comes after it."""

    bays: tuple[int, ...]
    standing_in: int | None
    tasks: tuple[int, ...]
    rolls: bool
    following: int | None


class Shop:
    """What is the same in all samples."""

    def __init__(self, problem: Problem, plan: Plan, clock: Clock) -> None:
        self.problem, self.clock = problem, clock
        self.now = clock.minute(problem.now)
        self.links = links(problem, plan)
        self.number = {link.operation.id: n for n, link in enumerate(self.links)}
        self.plan = plan
        self.person = {person.id: n for n, person in enumerate(problem.people)}
        self.hours: list[Hours] = [clock.hours_of([person.id]) for person in problem.people]
        self.anybody = clock.hours_of([])
        self.closed = [_closed(bay, clock) for bay in problem.bays]
        self.ways: list[Way] = []
        self._way_of: dict[tuple[str, str], int] = {}
        self._lay_ways(plan)
        self.tasks = [self._task(n, link) for n, link in enumerate(self.links)]
        self.follow: list[list[int]] = [[] for _ in self.tasks]
        for n, task in enumerate(self.tasks):
            for before in task.after:
                self.follow[before].append(n)

    def _lay_ways(self, plan: Plan) -> None:
        bays = {bay.id: n for n, bay in enumerate(self.problem.bays)}
        for job in self.problem.jobs:
            earlier: int | None = None
            for segment in job.segments:
                names = [o.id for o in job.operations if o.segment == segment.id and o.id in self.number]
                if not names:
                    continue
                planned = plan.of[names[0]].bay
                takes = job.takes(segment)
                fit = [n for n, bay in enumerate(self.problem.bays) if takes <= bay.features]
                first = [bays[planned]] if planned is not None else []
                order = (*first, *(n for n in fit if n not in first))
                way = Way(
                    order,
                    bays[segment.bay] if segment.bay else None,
                    tuple(self.number[name] for name in names),
                    segment.rolls,
                    None,
                )
                self._way_of[job.id, segment.id] = len(self.ways)
                if earlier is not None:
                    self.ways[earlier] = replace(self.ways[earlier], following=len(self.ways))
                earlier = len(self.ways)
                self.ways.append(way)

    def _able(self, skill: str | None, plan_first: str | None = None) -> tuple[int, ...]:
        """Who may do it, as they are asked: whom the plan has, then who can do the fewest other things."""

        def asked(name: str) -> tuple[bool, int, str]:
            one = self.problem.person[name]
            return (name != plan_first, len(one.skills) + len(one.certificates), name)

        return tuple(self.person[name] for name in sorted(who_may(self.problem, skill), key=asked))

    def _task(self, rank: int, link: Link) -> Task:
        operation = link.operation
        parts = operation.parts_at
        able = self._able(operation.skill, plan_first=self.plan.of[operation.id].person)
        crew = tuple((self._able(one.skill), one.count) for one in operation.crew)
        return Task(
            name=operation.id,
            job=self.problem.jobs.index(link.job),
            rank=rank,
            people=able,
            after=tuple(self.number[name] for name in link.after if name in self.number),
            stay=self._way_of.get((link.job.id, operation.segment or ""), -1),
            not_before=max(self.now, self.clock.minute(link.job.release)),
            parts_at=self.clock.minute(parts) if parts else None,
            apart=tuple(self.number[n] for n in operation.not_same_person_as if n in self.number),
            crew=crew,
            takes_nobody=operation.skill is None,
            running_by=self.person.get(operation.person or "")
            if operation.status is Status.RUNNING
            else None,
        )


def _closed(bay: Bay, clock: Clock) -> tuple[tuple[int, int], ...]:
    spans = (clock.within(span) for span in bay.down)
    return tuple(sorted((span.start, span.stop) for span in spans))

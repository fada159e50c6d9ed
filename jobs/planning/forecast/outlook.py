"""When each car will be ready: thousands of samples of a plan at once, and what makes a car late.

Operations are laid down in the order of the plan, in all samples together: bays by `staying`, people by
`people`, as a shop goes that follows its plan and lets others step in where something is late. `simulating`
plays the same shop event by event, where nobody knows beforehand how long anything takes.
"""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from jobs.planning.forecast.causes import STARTS, Cause, causes
from jobs.planning.forecast.chain import Link, Stay, Why, links
from jobs.planning.forecast.doing import Doing
from jobs.planning.forecast.draws import Draws
from jobs.planning.forecast.hours import Clock, Flags, Times
from jobs.planning.forecast.staying import NOBODY, Bays, Rest, rest_of
from jobs.planning.plan import Plan
from jobs.planning.problem import MINUTES_A_DAY, Problem, Status

Held = tuple[list[tuple[Why, str]], npt.NDArray[np.int8]]


@dataclass(frozen=True)
class Outlook:
    """One car: ready as likely as not by `p50`, in four samples of five by `p80`; finishes in minutes.

    `chance` is the share of samples that keep the due time. `causes` are those of the late samples, the
    most frequent first; of all samples where none is late. `moved` is the share of samples in which the car
    had another bay than the plan's; `short` and `waited` of those in which its work began, or it went into a
    bay, later than planned because somebody, or the bay, was not free.
    """

    job: str
    p50: dt.datetime
    p80: dt.datetime
    chance: float
    causes: tuple[Cause, ...]
    finishes: Times
    moved: float = 0.0
    short: float = 0.0
    waited: float = 0.0


def outlooks(problem: Problem, plan: Plan, draws: Draws, clock: Clock | None = None) -> dict[str, Outlook]:
    """The outlook of every job that has something left to do, by its identity."""
    return played(problem, plan, draws, clock).outlooks()


def played(problem: Problem, plan: Plan, draws: Draws, clock: Clock | None = None) -> "Run":
    """All samples, with the start and the end of every operation."""
    run = Run(problem, plan, draws, clock or Clock(problem))
    run.go()
    return run


class Run:
    """The samples of a plan. `ends` and `starts` by operation, one number a sample.

    `bound` says what held the start of an operation before somebody had to be found for it, `short` in
    which samples whom the plan has was not free then.
    """

    def __init__(self, problem: Problem, plan: Plan, draws: Draws, clock: Clock) -> None:
        self.problem, self.plan, self.draws, self.clock = problem, plan, draws, clock
        self.starts: dict[str, Times] = {}
        self.ends: dict[str, Times] = {}
        self.took: dict[str, Times] = {}
        self.bound: dict[str, Held] = {}
        self.short: dict[str, Flags] = {}
        self.finish: dict[str, Times] = {}
        self.links: list[Link] = []
        self.stays: list[Stay] = []
        self.now = clock.minute(problem.now)
        self.shop_hours = clock.hours_of([])

    def go(self) -> None:
        self.links = links(self.problem, self.plan)
        for link in self.links:
            self.took[link.operation.id] = self.draws.minutes(link.job, link.operation)
        self.doing = Doing(self.clock, self.plan, self.took, self.draws.count)
        self._house()
        for link in self.links:
            self._place(link)
            if link.stay is not None:
                self._goes_on(link.stay, link.operation.id)
        for link in self.links:
            job, end = link.job.id, self.ends[link.operation.id]
            self.finish[job] = np.maximum(self.finish[job], end) if job in self.finish else end

    def _house(self) -> None:
        """Every stay with what is left of it; cars that stand in a bay have it."""
        self.stays = [stay for stay in dict.fromkeys(link.stay for link in self.links) if stay is not None]
        self.number = {stay: n for n, stay in enumerate(self.stays)}
        self.bays = Bays(self.clock, self.stays, self.draws.count)
        self.rest: list[Rest] = []
        self.begun = [0] * len(self.stays)
        self.last = np.zeros((len(self.stays), self.draws.count), np.int32)
        self.kept_by = {name: n for n, stay in enumerate(self.stays) for name in stay.gives_up_with}
        parts = {
            link.operation.id: self._parts(link) for link in self.links if link.operation.parts_at is not None
        }
        self.comes = parts
        for n, stay in enumerate(self.stays):
            rest = rest_of(stay, self.plan, self.shop_hours, self.clock, self.took, parts)
            self.rest.append(rest)
            if stay.segment.bay is not None:
                left = np.full(self.draws.count, max(self.now, self.clock.minute(stay.ends)), np.int32)
                self.bays.stands(n, left)
                self.begun[n] = -1

    def _parts(self, link: Link) -> Times:
        assert link.operation.parts_at is not None
        days = self.draws.days_late(link.job, link.operation)
        return self.clock.minute(link.operation.parts_at) + days * MINUTES_A_DAY

    def _place(self, link: Link) -> None:
        operation = link.operation
        name = operation.id
        if operation.status is Status.RUNNING:
            self.bound[name] = ([(Why.RELEASE, "")], np.zeros(self.draws.count, np.int8))
            self.starts[name], self.ends[name] = self.doing.goes_on(operation, self.now)
            return
        ready = self._ready(link)
        if operation.skill is None and not operation.crew:
            self.starts[name], self.ends[name] = self.doing.passes(operation, ready)
        else:
            self.starts[name], self.ends[name], self.short[name] = self.doing.done(operation, ready)

    def _ready(self, link: Link) -> Times:
        """When an operation may start; what holds it in each sample is kept in `bound`."""
        waits = self._waits(link)
        why, what, release = next(waits)
        names = [(why, what)]
        which = np.zeros(self.draws.count, np.int8)
        latest = np.full(self.draws.count, release, np.int32)
        for why, what, times in waits:
            later = (times > latest).view(np.int8)
            np.maximum(which, later * np.int8(len(names)), out=which)
            names.append((why, what))
            np.maximum(latest, times, out=latest)
        self.bound[link.operation.id] = (names, which)
        return latest if link.stay is None else self._housed(link.stay, link.operation.id, latest)

    def _waits(self, link: Link) -> Iterator[tuple[Why, str, Times | int]]:
        yield Why.RELEASE, "", self.clock.minute(link.not_before)
        if link.operation.id in self.comes:
            yield Why.PARTS, "", self.comes[link.operation.id]
        for name in link.after:
            if name in self.ends:
                yield Why.BEFORE, name, self.ends[name]
        if link.stay is not None and self.begun[self.number[link.stay]] == 0:
            for name in link.stay.behind:
                yield Why.BEFORE, STARTS + name, self.starts[name]

    def _housed(self, stay: Stay, name: str, ready: Times) -> Times:
        """When it may start in its bay."""
        n = self.number[stay]
        names, which = self.bound[name]
        if self.begun[n] == 0:
            held_by = self.bays.enter(n, ready, self.rest[n])
            for one in np.flatnonzero(np.bincount(held_by, minlength=NOBODY)[:NOBODY]):
                rows = (held_by == one) & (self.bays.avail[n] > ready)
                which[rows] = len(names)
                names.append((Why.BAY, self._leaves_with(self.stays[one])))
        begins: Times = np.maximum(ready, self.bays.avail[n])
        return begins

    def _leaves_with(self, stay: Stay) -> str:
        return STARTS + stay.gives_up_with[0] if stay.gives_up_with else stay.operations[-1]

    def _goes_on(self, stay: Stay, name: str) -> None:
        """What is known now of when the car will leave its bay; and that it gives up the one before."""
        n = self.number[stay]
        before = self.kept_by.get(name)
        if before is not None and self.begun[n] <= 0:
            self.bays.left(before, self.starts[name])
        self.begun[n] = max(self.begun[n], 0) + 1
        end, rest = self.ends[name], self.rest[n]
        self.last[n] = np.maximum(self.last[n], end)
        if self.begun[n] == len(stay.operations) and not stay.gives_up_with:
            self.bays.left(n, self.last[n])
            return
        leaves = np.maximum(self.last[n], self.shop_hours.end(end, rest.after[name]))
        later = rest.parts[self.begun[n]]
        self.bays.goes_on(n, leaves if later is None else np.maximum(leaves, later))

    @cached_property
    def _of_job(self) -> dict[str, list[Link]]:
        found: dict[str, list[Link]] = {}
        for link in self.links:
            found.setdefault(link.job.id, []).append(link)
        return found

    def outlooks(self) -> dict[str, Outlook]:
        found = causes(self)
        return {job.id: self._outlook(job.id, found) for job in self.problem.jobs if job.id in self.finish}

    def _outlook(self, job: str, found: Mapping[str, tuple[Cause, ...]]) -> Outlook:
        finish = self.finish[job]
        due = self.clock.minute(self.problem.job[job].due)
        p50, p80 = np.quantile(finish, [0.5, 0.8], method="higher")
        return Outlook(
            job,
            self.clock.moment(int(p50)),
            self.clock.moment(int(p80)),
            float(np.mean(finish <= due)),
            found[job],
            finish,
            self._moved(job),
            self._short(job),
            self._waited(job),
        )

    def _moved(self, job: str) -> float:
        """The share of samples in which some stay of the car is in another bay than the plan's."""
        other = np.zeros(self.draws.count, np.bool_)
        for n, stay in enumerate(self.stays):
            if stay.job.id == job:
                other |= self.bays.bay_of[n] != self.bays.number[stay.bay]
        return float(np.mean(other))

    def _short(self, job: str) -> float:
        """The share of samples in which somebody who was not free made some work begin later than planned."""
        short = np.zeros(self.draws.count, np.bool_)
        for link in self._of_job[job]:
            name = link.operation.id
            if name in self.short:
                late = self.starts[name] > self.clock.minute(self.plan.of[name].start)
                short |= self.short[name] & late
        return float(np.mean(short))

    def _waited(self, job: str) -> float:
        """The share of samples in which another car, still in the bay, made it go in later than planned."""
        waited = np.zeros(self.draws.count, np.bool_)
        for link in self._of_job[job]:
            names, which = self.bound[link.operation.id]
            if link.stay is not None and any(why is Why.BAY for why, _what in names):
                late = self.bays.avail[self.number[link.stay]] > self.clock.minute(link.stay.begins)
                for number, (why, _what) in enumerate(names):
                    if why is Why.BAY:
                        waited |= (which == number) & late
        return float(np.mean(waited))

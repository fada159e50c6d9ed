"""When each car will be ready: thousands of samples of a plan at once, and what makes a car late.

Only the order of the bays is kept (`chain`). People are taken as there when the work is ready: a shop that
is short of people is later than this says, which `simulating` shows.
"""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from jobs.planning.forecast.chain import Link, Stay, Why, links
from jobs.planning.forecast.draws import Draws
from jobs.planning.forecast.hours import Clock, Hours, Times, who_may
from jobs.planning.plan import Plan
from jobs.planning.problem import MINUTES_A_DAY, Problem, Status

Bits = npt.NDArray[np.uint64]
WORD = 64
CAUSES_SHOWN = 5
# Before a name: held by the start of that operation, not by its end.
STARTS = ">"
LONGER = 1.1


@dataclass(frozen=True, slots=True)
class Cause:
    """What makes a car late: why, of what, and in which share of the late samples.

    For BAY `what` is the bay and `other` the job that has it, for PARTS `what` is the operation that waits
    for them, for BEFORE the operation whose work takes longer than its standard time.
    """

    why: Why
    what: str
    share: float
    other: str = ""


@dataclass(frozen=True)
class Outlook:
    """One car: ready as likely as not by `p50`, in four samples of five by `p80`; finishes in minutes.

    `chance` is the share of samples that keep the due time. `causes` are those of the late samples, the
    most frequent first; of all samples where none is late.
    """

    job: str
    p50: dt.datetime
    p80: dt.datetime
    chance: float
    causes: tuple[Cause, ...]
    finishes: Times


def outlooks(problem: Problem, plan: Plan, draws: Draws, clock: Clock | None = None) -> dict[str, Outlook]:
    """The outlook of every job that has something left to do, by its identity."""
    return played(problem, plan, draws, clock).outlooks()


def played(problem: Problem, plan: Plan, draws: Draws, clock: Clock | None = None) -> "Run":
    """All samples, with the start and the end of every operation."""
    run = Run(problem, plan, draws, clock or Clock(problem))
    run.go()
    return run


class Run:
    """The samples of a plan. `ends` and `starts` by operation, one number a sample."""

    def __init__(self, problem: Problem, plan: Plan, draws: Draws, clock: Clock) -> None:
        self.problem, self.plan, self.draws, self.clock = problem, plan, draws, clock
        self.starts: dict[str, Times] = {}
        self.ends: dict[str, Times] = {}
        self.took: dict[str, Times] = {}
        self.bound: dict[str, tuple[list[tuple[Why, str]], npt.NDArray[np.int8]]] = {}
        self.finish: dict[str, Times] = {}
        self.links: list[Link] = []
        self.now = clock.minute(problem.now)

    def go(self) -> None:
        self.links = links(self.problem, self.plan)
        for link in self.links:
            self._place(link)
        for link in self.links:
            job, end = link.job.id, self.ends[link.operation.id]
            self.finish[job] = np.maximum(self.finish[job], end) if job in self.finish else end

    def _place(self, link: Link) -> None:
        operation, count = link.operation, self.draws.count
        minutes = self.draws.minutes(link.job, operation)
        self.took[operation.id] = minutes
        hours = self.clock.hours_of(who_may(self.problem, operation.skill))
        if operation.status is Status.RUNNING:
            start = np.full(count, self.now, np.int64)
            self.bound[operation.id] = ([(Why.RELEASE, "")], np.zeros(count, np.int8))
        else:
            start = self._while_open(link, hours, hours.begin(self._ready(link)))
        self.starts[operation.id] = start
        self.ends[operation.id] = hours.end(start, minutes)

    def _while_open(self, link: Link, hours: Hours, start: Times) -> Times:
        """Nothing begins in a bay that is closed."""
        for span in sorted(self.problem.bay[link.stay.bay].down) if link.stay else ():
            closed = self.clock.within(span)
            inside = (start >= closed.start) & (start < closed.stop)
            start = np.where(inside, hours.begin(np.full_like(start, closed.stop)), start)
        return start

    def _ready(self, link: Link) -> Times:
        """When an operation may start; what holds it in each sample is kept in `bound`."""
        waits, names = [], []
        for why, what, times in self._waits(link):
            waits.append(times)
            names.append((why, what))
        latest, which = waits[0].copy(), np.zeros(self.draws.count, np.int8)
        for number, times in enumerate(waits[1:], 1):
            later = times > latest
            which[later] = number
            np.maximum(latest, times, out=latest)
        self.bound[link.operation.id] = (names, which)
        return latest

    def _waits(self, link: Link) -> Iterator[tuple[Why, str, Times]]:
        operation = link.operation
        released = max(self.now, self.clock.minute(link.job.release))
        yield Why.RELEASE, "", np.full(self.draws.count, released, np.int64)
        if operation.parts_at is not None:
            days = self.draws.days_late(link.job, operation)
            yield Why.PARTS, "", self.clock.minute(operation.parts_at) + days * MINUTES_A_DAY
        for name in link.after:
            if name in self.ends:
                yield Why.BEFORE, name, self.ends[name]
        if link.stay is not None:
            yield from self._bay(link.stay)

    def _bay(self, stay: Stay) -> Iterator[tuple[Why, str, Times]]:
        if stay.earlier is not None:
            for name in stay.earlier.operations:
                if name in self.ends:
                    yield Why.BAY, name, self.ends[name]
            first = [self.starts[name] for name in stay.earlier.gives_up_with if name in self.starts]
            if first:  # the car cannot roll: it keeps the bay until it is taken into the next one
                leaves = stay.earlier.gives_up_with[0]
                yield Why.BAY, STARTS + leaves, np.minimum.reduce(first)

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
        )


def causes(run: Run) -> dict[str, tuple[Cause, ...]]:
    """What lies on the way to the finish of each late car, counted by sample (criticality index).

    Each job is one bit; from the last operation back, what held an operation takes its bits over.
    """
    jobs = list(run.finish)
    of_bit = {job: number for number, job in enumerate(jobs)}
    words = (len(jobs) + WORD - 1) // WORD
    critical = {
        mark + name: np.zeros((words, run.draws.count), np.uint64)
        for name in run.ends
        for mark in ("", STARTS)
    }
    late = {job: _late(run, job) for job in jobs}
    for link in run.links:
        job, name = link.job.id, link.operation.id
        word, bit = divmod(of_bit[job], WORD)
        last = (run.ends[name] == run.finish[job]) & late[job]
        critical[name][word][last] |= np.uint64(1 << bit)
    counted: dict[str, dict[tuple[Why, str, str], int]] = {job: {} for job in jobs}
    for link in reversed(run.links):
        _hand_back(run, link, critical, jobs, counted)
    return {job: tuple(_ranked(found, int(late[job].sum()))) for job, found in counted.items()}


def _late(run: Run, job: str) -> npt.NDArray[np.bool_]:
    late = run.finish[job] > run.clock.minute(run.problem.job[job].due)
    return late if late.any() else np.ones_like(late)


def _hand_back(
    run: Run,
    link: Link,
    critical: dict[str, Bits],
    jobs: list[str],
    counted: dict[str, dict[tuple[Why, str, str], int]],
) -> None:
    name = link.operation.id
    ended, mine = critical[name], critical[name] | critical[STARTS + name]
    if not mine.any():
        return
    longer = run.took[name] > LONGER * link.operation.work_minutes
    _count(_only(ended, longer), (Why.BEFORE, name, link.job.id), jobs, counted)
    held, which = run.bound[name]
    for number, (why, what) in enumerate(held):
        part = mine if len(held) == 1 else _only(mine, which == number)
        if not part.any():
            continue
        if why is Why.PARTS:
            _count(part, (Why.PARTS, name, link.job.id), jobs, counted)
        elif why is Why.BAY and link.stay is not None:
            holder = run.problem.job_of[what.removeprefix(STARTS)].id
            _count(part, (Why.BAY, link.stay.bay, holder), jobs, counted)
        if what:
            critical[what] |= part


def _only(bits: Bits, flags: npt.NDArray[np.bool_]) -> Bits:
    """The bits of the samples in which the flag is set."""
    return np.multiply(bits, flags, dtype=np.uint64)


def _count(
    bits: Bits,
    key: tuple[Why, str, str],
    jobs: list[str],
    counted: dict[str, dict[tuple[Why, str, str], int]],
) -> None:
    for word, row in enumerate(bits):
        there = int(np.bitwise_or.reduce(row))
        while there:
            bit = (there & -there).bit_length() - 1
            there &= there - 1
            number = int(np.count_nonzero(row & np.uint64(1 << bit)))
            found = counted[jobs[word * WORD + bit]]
            found[key] = found.get(key, 0) + number


def _ranked(found: Mapping[tuple[Why, str, str], int], late: int) -> Iterable[Cause]:
    ranked = sorted(found.items(), key=lambda item: (-item[1], item[0]))[:CAUSES_SHOWN]
    return [Cause(why, what, min(1.0, count / late), other) for (why, what, other), count in ranked if late]

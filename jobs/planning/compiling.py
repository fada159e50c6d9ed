"""From a problem to whole numbers on the axis: tasks, holds, cars."""

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

import numpy as np

from jobs.planning.axis import axis_of, unit_minutes
from jobs.planning.compiled import Car, Compiled, Hold, Mode, Near, Task
from jobs.planning.entering import opens_after
from jobs.planning.manning import Manning
from jobs.planning.problem import Job, Operation, PinKind, Problem, Segment, Status
from jobs.planning.standing import Standing

LEAST_DAYS, MOST_DAYS = 60, 3660


class Unplaceable(Exception):  # noqa: N818 - it carries the operations
    """Operations that fit nowhere within the horizon, and holds that no bay may take."""

    def __init__(self, operations: Iterable[str]) -> None:
        self.operations = tuple(operations)
        super().__init__(", ".join(self.operations))


def first_days(problem: Problem) -> int:
    """A horizon that a plan will most likely fit into, in days."""
    work = sum(one.work_minutes for one in problem.operations())
    a_day = 240 * max(1, len(problem.people) // 2)
    waits = [job.release for job in problem.jobs]
    waits += [one.parts_at for one in problem.operations() if one.parts_at]
    waits += [pin.at for pin in problem.pins if pin.at]
    wait = max([problem.now, *waits]) - problem.now
    return min(MOST_DAYS, LEAST_DAYS + wait.days + work // a_day * 7 // 5)


def enough_days(problem: Problem) -> list[int]:
    """Days in which all gets done one after another, if each is done by whoever of those who may has the
    longest week; and by whoever has the shortest."""
    away = [gap for one in problem.people for gap in one.absences]
    away += [gap for one in problem.instruments for gap in one.out]
    away += [gap for one in problem.bays for gap in one.down]
    lost = sum((gap.ends - max(gap.starts, problem.now)).days + 1 for gap in away if gap.ends > problem.now)
    lost += sum(len(one.exceptions) for one in problem.calendars)
    week = {one.id: sum(s.ends - s.starts for day in one.week for s in day) for one in problem.calendars}
    found = []
    for choice in (max, min):
        days = float(first_days(problem) + lost)
        for one in problem.operations():
            able = [week[p.calendar] for p in problem.people if one.skill is None or p.ever_may(one.skill)]
            if one.work_minutes and able:
                minutes = choice(able)
                days += 7 * (one.work_minutes / minutes) if minutes else MOST_DAYS
        found.append(min(MOST_DAYS, int(days)))
    return sorted(set(found))


def compiled_of(problem: Problem, days: int) -> Compiled:
    """The problem on an axis of so many days.

    Raises:
        Unplaceable: where an operation has no start within the horizon, or no bay.
    """
    return _Compiler(problem, days).compiled()


class _Compiler:
    def __init__(self, problem: Problem, days: int) -> None:
        self.problem = problem
        self.unit = unit_minutes(problem)
        self.axis = axis_of(problem, self.unit, days)
        self.live = [one for one in problem.operations() if one.status is not Status.DONE]
        self.index = {one.id: number for number, one in enumerate(self.live)}
        self.manning = Manning(problem, self.axis)
        self.standing = Standing(problem, self.axis)
        self.apart = self._apart()
        self.holds: list[Hold] = []
        self.cars: list[Car] = []
        self.hold_of: dict[str, int] = {}
        self.unplaceable: list[str] = []

    def compiled(self) -> Compiled:
        for job in self.problem.jobs:
            self._car(job)
        tasks = tuple(self._task(one) for one in self.live)
        if self.unplaceable:
            raise Unplaceable(self.unplaceable)
        tasks = self._spared(tasks)
        followers: list[list[int]] = [[] for _ in tasks]
        for task in tasks:
            for before in task.after:
                followers[before].append(task.index)
        return Compiled(
            problem=self.problem,
            axis=self.axis,
            pools=self.manning.pools,
            bay_pools=self.standing.pools,
            tasks=tasks,
            holds=tuple(self.holds),
            cars=tuple(self.cars),
            first_up=self._first_up(),
            near=self._near(tasks),
            followers=tuple(tuple(ones) for ones in followers),
            opens_after=opens_after(tasks, self.holds),
        )

    def _car(self, job: Job) -> None:
        mine = [one for one in job.operations if one.id in self.index]
        if not mine:
            return
        number = len(self.cars)
        holds = [
            self._hold(job, segment, ones, number)
            for segment in job.segments
            if (ones := [one for one in mine if one.segment == segment.id])
        ]
        for hold, following in pairwise(holds):
            segment = next(one for one in job.segments if one.id == hold.segment)
            if not segment.rolls:
                self.holds[hold.index] = replace(hold, keeps_for=following.index)
        self.cars.append(
            Car(
                number,
                job.id,
                job.weight,
                self.axis.position(job.due),
                tuple(self.index[one.id] for one in mine),
                tuple(hold.index for hold in holds),
            )
        )

    def _hold(self, job: Job, segment: Segment, mine: list[Operation], car: int) -> Hold:
        pools = self.standing.pools_for(job, segment)
        if not pools:
            self.unplaceable += [one.id for one in mine]
        hold = Hold(
            index=len(self.holds),
            car=car,
            segment=segment.id,
            tasks=tuple(self.index[one.id] for one in mine),
            pools=pools,
            occupied=segment.bay is not None or any(one.status is Status.RUNNING for one in mine),
        )
        self.holds.append(hold)
        self.hold_of |= {one.id: hold.index for one in mine}
        return hold

    def _task(self, one: Operation) -> Task:
        job = self.problem.job_of[one.id]
        index = self.index[one.id]
        before = {*one.after, *([one.at_once_after] if one.at_once_after else [])}
        task = Task(
            index=index,
            op=one.id,
            car=next(car.index for car in self.cars if car.job == job.id),
            hold=self.hold_of.get(one.id, -1),
            slots=one.work_minutes // self.unit,
            earliest=self._earliest(job, one),
            after=tuple(sorted(self.index[other] for other in before if other in self.index)),
            modes=(),
            at_once_after=self.index.get(one.at_once_after or "", -1),
            apart=tuple(sorted(self.index[other] for other in self.apart[one.id] if other in self.index)),
        )
        if one.status is Status.RUNNING:
            return self._running(one, task)
        modes = self._modes(one, task)
        if not modes:
            self.unplaceable.append(one.id)
        return replace(task, modes=modes)

    def _modes(self, one: Operation, task: Task) -> tuple[Mode, ...]:
        modes = self.manning.modes(one, task.slots, self._excluded(one))
        return tuple(mode for mode in modes if mode.timing.following[task.earliest] < len(self.axis))

    def _running(self, one: Operation, task: Task) -> Task:
        people = self.manning.numbers([*([one.person] if one.person else []), *one.others])
        worked = np.flatnonzero(self.manning.common(people))
        pinned = self.manning.pinned.get(one.id, [])
        if len(worked) < task.slots or any(name != one.person for name in pinned):
            self.unplaceable.append(one.id)
            return task
        end = int(worked[task.slots - 1]) + 1 if task.slots else 0
        return replace(task, fixed=(0, end), people=people, modes=(self.manning.fixed_mode(people),))

    def _earliest(self, job: Job, one: Operation) -> int:
        times = [self.problem.now, job.release, *([one.parts_at] if one.parts_at else [])]
        for pin in self.problem.pins:
            if pin.kind is PinKind.NOT_BEFORE and pin.at and (pin.operation or pin.job) in (one.id, job.id):
                times.append(pin.at)
        return self.axis.position(max(times))

    def _apart(self) -> dict[str, set[str]]:
        """For each operation, done ones too, those whose people it may not share: both ways."""
        apart: dict[str, set[str]] = {one.id: set() for one in self.problem.operations()}
        for one in self.problem.operations():
            for other in one.not_same_person_as:
                if other in apart:
                    apart[one.id].add(other)
                    apart[other].add(one.id)
        return apart

    def _spared(self, tasks: tuple[Task, ...]) -> tuple[Task, ...]:
        """The tasks with their modes in order: whoever has least to do that others cannot comes first."""
        load = [0.0] * len(self.manning.pools)
        for task in tasks:
            if not task.fixed:
                able = {pool for mode in task.modes for pool, _ in mode.demands}
                people = sum(self.manning.pools[pool].size for pool in able)
                for pool in able:
                    load[pool] += task.slots / people**2
        return tuple(
            replace(
                task,
                modes=tuple(sorted(task.modes, key=lambda mode: sum(load[pool] for pool, _ in mode.demands))),
            )
            for task in tasks
        )

    def _excluded(self, one: Operation) -> set[str]:
        """Who cannot do it, for they did or do what they must not also do."""
        others = [self.problem.operation[other] for other in self.apart[one.id]]
        known = [other for other in others if other.status is not Status.TODO]
        return {name for other in known for name in (other.person, *other.others) if name}

    def _first_up(self) -> tuple[int, ...]:
        pinned = {pin.job for pin in self.problem.pins if pin.kind is PinKind.NEXT_UP}
        return tuple(car.index for car in self.cars if car.job in pinned)

    def _near(self, tasks: Iterable[Task]) -> dict[int, Near]:
        calm = self.problem.calm
        if calm is None:
            return {}
        near = {}
        for task in tasks:
            at = calm.starts.get(task.op)
            if at is None or task.fixed or not self.problem.now <= at < calm.until:
                continue
            pool = self.manning.pool_named(calm.people.get(task.op))
            near[task.index] = Near(self.axis.position(at), pool, self.standing.named(calm.bays.get(task.op)))
        return near

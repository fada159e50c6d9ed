"""From a schedule on the axis to a plan: who of the pool, which bay of the pool, and the clock's times."""

import datetime as dt
from collections.abc import Iterable

from jobs.planning.compiled import Compiled, Hold, Schedule, held
from jobs.planning.plan import Assignment, JobFinish, Plan
from jobs.planning.problem import Operation, Status


def plan_of(compiled: Compiled, schedule: Schedule) -> Plan:
    """The plan of a schedule. People and bays are named all at once, so that nobody stands twice."""
    people, bays = _people(compiled, schedule), _bays(compiled, schedule)
    assignments = []
    for task in compiled.tasks:
        one = compiled.problem.operation[task.op]
        names = people[task.index]
        start, end = _times(compiled, schedule, task.index, one)
        assignments.append(
            Assignment(
                op=one.id,
                person=names[0] if one.skill and names else None,
                bay=bays.get(task.hold),
                start=start,
                end=end,
                others=tuple(names[1:] if one.skill else names),
            )
        )
    return Plan(compiled.problem.name, tuple(assignments), _finishes(compiled, assignments))


def _times(
    compiled: Compiled, schedule: Schedule, index: int, one: Operation
) -> tuple[dt.datetime, dt.datetime]:
    axis, task = compiled.axis, compiled.tasks[index]
    if one.status is Status.RUNNING:
        end = axis.end(schedule.ends[index]) if task.slots else compiled.problem.now
        return one.started or compiled.problem.now, end
    start = axis.start(schedule.starts[index])
    return start, axis.end(schedule.ends[index]) if task.slots else start


def _people(compiled: Compiled, schedule: Schedule) -> list[list[str]]:
    """For each task the names of its people, whoever does it first."""
    names = [person.id for person in compiled.problem.people]
    calm = compiled.problem.calm
    until: dict[int, int] = {}
    car_of: dict[int, int] = {}
    found: list[list[str]] = [[] for _ in compiled.tasks]
    order = sorted(
        compiled.tasks,
        key=lambda t: (t.fixed is None, schedule.starts[t.index], schedule.ends[t.index], t.index),
    )
    for task in order:
        index = task.index
        if task.fixed:
            chosen = list(task.people)
        else:
            chosen = []
            wanted = calm.people.get(task.op) if calm else None
            for pool, count in task.modes[schedule.modes[index]].demands:
                free = [
                    one for one in compiled.pools[pool].members if until.get(one, 0) <= schedule.starts[index]
                ]
                free.sort(key=lambda one: (names[one] != wanted, car_of.get(one) != task.car, one))
                chosen += free[:count]
        for one in chosen:
            until[one], car_of[one] = max(until.get(one, 0), schedule.ends[index]), task.car
        found[index] = [names[one] for one in chosen]
    return found


def _bays(compiled: Compiled, schedule: Schedule) -> dict[int, str]:
    """The bay of each hold by its index."""
    names = [bay.id for bay in compiled.problem.bays]
    calm = compiled.problem.calm
    until: dict[str, int] = {}
    found: dict[int, str] = {}
    spans = {hold.index: held(compiled, schedule, hold) for hold in compiled.holds}
    for hold in sorted(compiled.holds, key=lambda h: (not _stands(compiled, h), spans[h.index], h.index)):
        begins, ends = spans[hold.index]
        bay = _stands(compiled, hold)
        if bay is None:
            wanted = {calm.bays.get(compiled.tasks[one].op) for one in hold.tasks} if calm else set()
            members = compiled.bay_pools[schedule.bays[hold.index]].members
            free = [names[one] for one in members if until.get(names[one], 0) <= begins]
            bay = min(free, key=lambda name: (name not in wanted, -until.get(name, 0), name))
        until[bay] = max(until.get(bay, 0), ends)
        found[hold.index] = bay
    return found


def _stands(compiled: Compiled, hold: Hold) -> str | None:
    job = compiled.problem.job[compiled.cars[hold.car].job]
    return next(segment.bay for segment in job.segments if segment.id == hold.segment)


def _finishes(compiled: Compiled, assignments: Iterable[Assignment]) -> tuple[JobFinish, ...]:
    ends: dict[str, dt.datetime] = {}
    for one in assignments:
        job = compiled.problem.job_of[one.op].id
        ends[job] = max(ends.get(job, one.end), one.end)
    found = []
    for car in compiled.cars:
        due, finish = compiled.problem.job[car.job].due, ends[car.job]
        found.append(JobFinish(car.job, finish, max(0, int((finish - due).total_seconds()) // 60)))
    return tuple(found)

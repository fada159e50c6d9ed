"""A plan as a net of waits: what each operation waits for, and the stays of cars in bays by their order."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from jobs.planning.forecast.hours import who_may
from jobs.planning.pin_check import goes_in
from jobs.planning.plan import Plan
from jobs.planning.problem import Job, Operation, PinKind, Problem, Segment, Status


class Why(StrEnum):
    """What holds an operation's start."""

    RELEASE = "release"
    PARTS = "parts"
    BEFORE = "before"
    BAY = "bay"
    PEOPLE = "people"


@dataclass(frozen=True, slots=True, eq=False)
class Stay:
    """One segment's time in its bay by the plan, who has the bay before it, and which other bays suit.

    `operations` stand in the order of the plan; of each, `before` are those of the same stay that it waits
    for, `minutes` the standard ones. Where the car cannot roll, it keeps the bay until the first of
    `gives_up_with` begins. It does not go in before the operations `behind`, of cars that are next up, begin.
    """

    job: Job
    segment: Segment
    bay: str
    fits: tuple[str, ...]
    operations: tuple[str, ...]
    before: Mapping[str, tuple[str, ...]]
    minutes: Mapping[str, int]
    begins: dt.datetime
    ends: dt.datetime
    gives_up_with: tuple[str, ...]
    earlier: "Stay | None"
    behind: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Link:
    """An operation with what it waits for, in an order in which all of that comes first."""

    job: Job
    operation: Operation
    after: tuple[str, ...]
    not_before: dt.datetime
    stay: Stay | None


def links(problem: Problem, plan: Plan) -> list[Link]:
    """The operations of a plan, each after everything that it waits for."""
    stays = _stays(problem, plan)
    of = {name: stay for stay in stays for name in stay.operations}
    found = [
        Link(
            problem.job_of[one.op],
            operation,
            _after(operation, plan),
            not_before(problem, operation),
            of.get(one.op),
        )
        for one in plan.assignments
        if (operation := problem.operation[one.op]).status is not Status.DONE
    ]
    starts = {one.op: (one.start, one.end) for one in plan.assignments}
    return list(_sorted(found, starts))


def _after(operation: Operation, plan: Plan) -> tuple[str, ...]:
    before = (*operation.after, *([operation.at_once_after] if operation.at_once_after else []))
    return tuple(name for name in before if name in plan.of)


def not_before(problem: Problem, operation: Operation) -> dt.datetime:
    """When it may begin at the earliest: now, by its job's release, by the manager's pins."""
    job = problem.job_of[operation.id]
    times = [problem.now, job.release]
    for pin in problem.pins:
        meant = pin.operation or pin.job
        if pin.kind is PinKind.NOT_BEFORE and pin.at and meant in (operation.id, job.id):
            times.append(pin.at)
    return max(times)


def next_up(problem: Problem, plan: Plan) -> tuple[list[tuple[str, str]], set[tuple[str, str]]]:
    """First stays, by job and segment, of cars in no bay: of those that are next up, and of the others."""
    pinned = {pin.job for pin in problem.pins if pin.kind is PinKind.NEXT_UP}
    first: list[tuple[str, str]] = []
    others: set[tuple[str, str]] = set()
    for job in problem.jobs if pinned else ():
        segment = _to_come(job)
        if segment is not None and goes_in(job, plan) is not None:
            if job.id in pinned:
                first.append((job.id, segment))
            else:
                others.add((job.id, segment))
    return first, others


def _to_come(job: Job) -> str | None:
    """The first of its segments in which something is left to do."""
    left = {one.segment for one in job.operations if one.status is not Status.DONE}
    return next((one.id for one in job.segments if one.id in left), None)


def _stays(problem: Problem, plan: Plan) -> list[Stay]:
    """Every stay in a bay by the order of the plan."""
    waiting: dict[str, list[tuple[Job, Segment, list[str]]]] = defaultdict(list)
    following: dict[tuple[str, str], list[str]] = {}
    for job in problem.jobs:
        parts = [(segment, _of_segment(job, segment.id, plan)) for segment in job.segments]
        parts = [(segment, names) for segment, names in parts if names]
        for at, (segment, names) in enumerate(parts):
            bay = plan.of[names[0]].bay
            if bay is None:
                continue
            waiting[bay].append((job, segment, names))
            if not segment.rolls and at + 1 < len(parts):
                following[job.id, segment.id] = parts[at + 1][1]
    first, others = next_up(problem, plan)
    goes_first = tuple(
        min(names, key=lambda name: (plan.of[name].start, name))
        for job, segment in first
        if (names := _of_segment(problem.job[job], segment, plan))
    )
    behind = dict.fromkeys(others, goes_first)
    return [
        stay
        for bay, rows in waiting.items()
        for stay in _in_order(problem, bay, rows, (following, behind), plan)
    ]


def _of_segment(job: Job, segment: str, plan: Plan) -> list[str]:
    return [
        one.id
        for one in job.operations
        if one.segment == segment and one.id in plan.of and one.status is not Status.DONE
    ]


def _in_order(
    problem: Problem,
    bay: str,
    rows: list[tuple[Job, Segment, list[str]]],
    held_by: tuple[dict[tuple[str, str], list[str]], dict[tuple[str, str], tuple[str, ...]]],
    plan: Plan,
) -> Iterator[Stay]:
    def first(row: tuple[Job, Segment, list[str]]) -> tuple[bool, dt.datetime, str]:
        return (row[1].bay != bay, min(plan.of[name].start for name in row[2]), row[0].id)

    following, behind = held_by
    earlier: Stay | None = None
    for job, segment, names in sorted(rows, key=first):
        after = tuple(following.get((job.id, segment.id), ()))
        names.sort(key=lambda name: (plan.of[name].start, plan.of[name].end))
        earlier = Stay(
            job=job,
            segment=segment,
            bay=bay,
            fits=suitable(problem, job, segment),
            operations=tuple(names),
            before={name: _after(problem.operation[name], plan) for name in names},
            minutes={name: problem.operation[name].work_minutes for name in names},
            begins=min(plan.of[name].start for name in names),
            ends=max(plan.of[name].end for name in names),
            gives_up_with=after,
            earlier=earlier,
            behind=behind.get((job.id, segment.id), ()),
        )
        yield earlier


def _sorted(found: list[Link], starts: Mapping[str, tuple[dt.datetime, dt.datetime]]) -> Iterator[Link]:
    """By planned start; where that is equal, what waits for another comes later."""
    left = sorted(found, key=lambda link: (starts[link.operation.id], link.operation.id))
    names, given = {link.operation.id for link in left}, set[str]()
    while left:
        rest = []
        for link in left:
            if all(name in given or name not in names for name in waited_for(link)):
                given.add(link.operation.id)
                yield link
            else:
                rest.append(link)
        if len(rest) == len(left):  # a plan that waits for itself; taken as it stands
            yield from rest
            return
        left = rest


def waited_for(link: Link) -> tuple[str, ...]:
    """The operations whose end, or start, holds this one."""
    earlier = link.stay.earlier if link.stay else None
    behind = link.stay.behind if link.stay else ()
    return (*link.after, *behind, *((*earlier.operations, *earlier.gives_up_with) if earlier else ()))


def able(problem: Problem, operation: Operation, apart: Iterable[str]) -> tuple[str, ...]:
    """Who may do it: who is pinned to it, else who has the skill on some day at least; nobody who has done
    one of the operations `apart` from it."""
    pinned = {
        pin.person for pin in problem.pins if pin.kind is PinKind.PERSON and pin.operation == operation.id
    }
    others = [problem.operation[name] for name in apart]
    did = {name for one in others if one.status is Status.DONE for name in (one.person, *one.others)}
    names = [name for name in who_may(problem, operation.skill) if name not in did]
    return tuple(name for name in names if name in pinned) or tuple(names)


def suitable(problem: Problem, job: Job, segment: Segment) -> tuple[str, ...]:
    """The bays that a segment may have: the one in which it stands, the pinned one, or all that suit."""
    if segment.bay is not None:
        return (segment.bay,)
    takes = job.takes(segment)
    fit = [bay for bay in problem.bays if takes <= bay.features]
    fit.sort(key=lambda bay: len(bay.features))
    pins = [pin for pin in problem.pins if pin.kind is PinKind.BAY and pin.job == job.id]
    pinned = {pin.bay for pin in pins if (pin.segment or _to_come(job)) == segment.id}
    return tuple(bay.id for bay in fit if bay.id in pinned) or tuple(bay.id for bay in fit)

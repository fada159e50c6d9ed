"""What about a problem cannot be planned, in words with the way out; and the rest, which can be.

An operation that cannot be planned takes those that come after it along; a car that is in no bay yet is
left out whole then, since it would only block one. Warnings leave nothing out.
"""

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace

from jobs.planning.apart import too_few_people
from jobs.planning.plan import Fault
from jobs.planning.problem import Job, Operation, Person, Problem, Segment, Status

MOST_WAIT_DAYS = 5 * 365


def faults_of(problem: Problem) -> tuple[list[Fault], list[Fault]]:
    """What hinders (each fault names its operation), and what is only strange."""
    hours = {one.id for one in problem.calendars if any(one.week) or any(one.exceptions.values())}
    hinders = [
        fault
        for job in problem.jobs
        for one in job.operations
        if one.status is Status.TODO
        for fault in _hinders(problem, job, one, hours)
    ]
    told = {fault.operation for fault in hinders}
    hinders += [fault for fault in too_few_people(problem) if fault.operation not in told]
    return [*hinders, *_cycles(problem)], [*_calendars(problem, hours), *_warnings(problem)]


def _hinders(problem: Problem, job: Job, one: Operation, hours: set[str]) -> Iterable[Fault]:
    where = f"{job.name or job.id}, {one.id}"
    needs = {one.skill: 1} if one.skill else {}
    for crew in one.crew:
        needs[crew.skill] = needs.get(crew.skill, 0) + crew.count
    for skill, count in needs.items():
        able = [person for person in problem.people if person.ever_may(skill)]
        if not any(person.calendar in hours for person in able):
            yield Fault(where, *_no_one(skill, able), job.id, one.id)
        elif len(able) < count:
            what = f"takes {count} people with the skill “{skill}”, and there are {len(able)}"
            yield Fault(where, what, "Qualify somebody for it, or ask for fewer", job.id, one.id)
    yield from _never(problem, job, one, where)
    yield from _no_bay(problem, job, one, where)
    for kind in one.instruments:
        if not any(instrument.kind == kind for instrument in problem.instruments):
            what = f"takes an instrument of the kind “{kind}”, and the shop has none"
            yield Fault(where, what, "Enter the instrument, or take it off the operation", job.id, one.id)


def _never(problem: Problem, job: Job, one: Operation, where: str) -> Iterable[Fault]:
    for what, at in (("its car comes", job.release), ("its parts come", one.parts_at)):
        if at and (at - problem.now).days > MOST_WAIT_DAYS:
            words = f"{what} on {said(at)}, which is more than five years away"
            yield Fault(where, words, "Enter a nearer date; it is not planned before", job.id, one.id)


def _no_one(skill: str, able: list[Person]) -> tuple[str, str]:
    if not able:
        way_out = "Qualify somebody for it, or change the skill that the operation takes"
        return f"nobody has the skill “{skill}”", way_out
    names = ", ".join(person.id for person in able)
    return f"those with the skill “{skill}” ({names}) have a calendar without hours", "Give them hours"


def _no_bay(problem: Problem, job: Job, one: Operation, where: str) -> Iterable[Fault]:
    """Told once for a segment, at its first operation: the others of it go with that one."""
    segment = next((segment for segment in job.segments if segment.id == one.segment), None)
    if segment is None or segment.bay is not None:
        return
    if one.id != next(o.id for o in job.operations if o.segment == segment.id and o.status is Status.TODO):
        return
    takes = job.takes(segment)
    if any(takes <= bay.features for bay in problem.bays):
        return
    words = [_asked_by(job, segment, feature) for feature in sorted(takes)]
    what = f"no bay has what “{segment.id}” takes: {', '.join(words) or 'there is no bay at all'}"
    nearest = min(problem.bays, key=lambda bay: len(takes - bay.features), default=None)
    way_out = "Equip a bay, or take the feature off the operation or its stage"
    if nearest is not None:
        lacks = ", ".join(sorted(takes - nearest.features))
        way_out = f"{nearest.id} comes nearest and lacks {lacks}. {way_out}"
    yield Fault(where, what, way_out, job.id, one.id)


def _asked_by(job: Job, segment: Segment, feature: str) -> str:
    """A feature with the operations that take it; alone where the whole segment does."""
    if feature in segment.bay_features:
        return feature
    mine = [one.id for one in job.operations if one.segment == segment.id and feature in one.bay_features]
    return f"{feature} (for {', '.join(mine)})"


def _cycles(problem: Problem) -> list[Fault]:
    """The operations that wait for each other in a circle, one fault for each of them."""
    after = {
        one.id: {*one.after, *([one.at_once_after] if one.at_once_after else [])}
        for one in problem.operations()
        if one.status is Status.TODO
    }
    circled = set(after)
    for _ in range(2):  # what nothing in a circle comes before, then what nothing comes after
        changed = True
        while changed:
            free = {one for one in circled if not after[one] & circled}
            circled -= free
            changed = bool(free)
        turned: dict[str, set[str]] = {one: set() for one in after}
        for one, others in after.items():
            for other in others & turned.keys():
                turned[other].add(one)
        after = turned
    names = ", ".join(sorted(circled))
    return [
        Fault(
            f"{problem.job_of[one].name or problem.job_of[one].id}, {one}",
            f"waits for itself: {names} come after each other in a circle",
            "Take one of the “after” away in the procedure",
            problem.job_of[one].id,
            one,
        )
        for one in sorted(circled)
    ]


def _calendars(problem: Problem, hours: set[str]) -> Iterable[Fault]:
    for name in sorted({person.calendar for person in problem.people} - hours):
        yield Fault(f"calendar {name}", "has no working hours", "Enter the hours of each day of the week")


def _warnings(problem: Problem) -> Iterable[Fault]:
    now = problem.now
    for job in problem.jobs:
        open_ones = [one for one in job.operations if one.status is not Status.DONE]
        if open_ones and job.due < now:
            what = f"was promised for {said(job.due)}, which is past"
            yield Fault(job.name or job.id, what, "Agree on a new date with the customer", job.id)
        for one in open_ones:
            if one.parts_at and one.parts_at < now and one.status is Status.TODO:
                what = f"its parts were due on {said(one.parts_at)}, which is past"
                way_out = (
                    "Take them in, or ask the supplier for a new date; it is planned as if they were here"
                )
                yield Fault(f"{job.name or job.id}, {one.id}", what, way_out, job.id, one.id)


def said(at: dt.datetime) -> str:
    return f"{at:%A} {at.day} {at:%B %Y}"


def left_out(problem: Problem, hindered: Iterable[str]) -> set[str]:
    """The operations that go with those: all that come after, all of a stay in a bay that has not begun,
    and cars whole that are in no bay yet."""
    out = set(hindered)
    grown = True
    while grown:
        size = len(out)
        for job in problem.jobs:
            mine = {one.id for one in job.operations if one.status is Status.TODO}
            if out & mine and not _begun(job):
                out |= mine
            for segment in job.segments:
                there = {one.id for one in job.operations if one.segment == segment.id} & mine
                if out & there and not _stands(job, segment):
                    out |= there
            for one in job.operations:
                if one.id in mine and out & {*one.after, one.at_once_after}:
                    out.add(one.id)
        grown = len(out) > size
    return out


def _stands(job: Job, segment: Segment) -> bool:
    """Whether the car has its bay for that segment already."""
    begun = (one for one in job.operations if one.segment == segment.id)
    return segment.bay is not None or any(one.status is Status.RUNNING for one in begun)


def _begun(job: Job) -> bool:
    return any(one.bay for one in job.segments) or any(one.status is Status.RUNNING for one in job.operations)


def reduced(problem: Problem, out: set[str]) -> Problem:
    """The problem without those operations, and without pins upon them."""
    if not out:
        return problem
    jobs = tuple(
        replace(job, operations=tuple(one for one in job.operations if one.id not in out))
        for job in problem.jobs
    )
    empty = {job.id for job in jobs if all(one.status is Status.DONE for one in job.operations)}
    pins = tuple(pin for pin in problem.pins if pin.operation not in out and pin.job not in empty)
    return replace(problem, jobs=jobs, pins=pins)

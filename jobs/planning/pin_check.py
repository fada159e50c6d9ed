"""The checker's rule 7: what the manager has pinned."""

import datetime as dt
from collections.abc import Iterator

from jobs.planning.plan import Plan
from jobs.planning.problem import Job, Pin, PinKind, Problem, Status

Found = Iterator[tuple[str, str]]


def pin_breaches(problem: Problem, plan: Plan) -> Found:
    """Each pin that is not kept: its identity and what is wrong."""
    for pin in problem.pins:
        if pin.kind is PinKind.PERSON:
            done = plan.of.get(pin.operation)
            if done and done.person != pin.person:
                yield pin.id, f"{pin.operation} is done by {done.person}, not by {pin.person}"
        elif pin.kind is PinKind.NOT_BEFORE:
            yield from _not_before(problem, plan, pin)
        elif pin.job not in problem.job:
            yield pin.id, f"there is no car {pin.job}"
        elif pin.kind is PinKind.BAY:
            yield from _bay(problem.job[pin.job], plan, pin)
        else:
            yield from _next_up(problem, plan, pin)


def _bay(job: Job, plan: Plan, pin: Pin) -> Found:
    to_come = [one for one in job.operations if one.id in plan.of]
    segments = [one.id for one in job.segments if any(each.segment == one.id for each in to_come)]
    meant = pin.segment or (segments[0] if segments else "")
    for one in to_come:
        if one.segment == meant and plan.of[one.id].bay != pin.bay:
            yield pin.id, f"{one.id} is done in {plan.of[one.id].bay}, not in {pin.bay}"


def _not_before(problem: Problem, plan: Plan, pin: Pin) -> Found:
    for one in problem.operations():
        meant = one.id == pin.operation or (not pin.operation and problem.job_of[one.id].id == pin.job)
        begins = plan.of[one.id].start if one.id in plan.of and one.status is Status.TODO else None
        if meant and begins and pin.at and begins < pin.at:
            yield pin.id, f"{one.id} begins at {begins}, before {pin.at}"


def _next_up(problem: Problem, plan: Plan, pin: Pin) -> Found:
    pinned = {one.job for one in problem.pins if one.kind is PinKind.NEXT_UP}
    mine = goes_in(problem.job[pin.job], plan)
    for other in problem.jobs:
        theirs = goes_in(other, plan)
        if mine and theirs and other.id not in pinned and theirs < mine:
            yield pin.id, f"{other.id} goes into a bay at {theirs}, before {pin.job} at {mine}"


def goes_in(job: Job, plan: Plan) -> dt.datetime | None:
    """When a car that is in no bay goes into one; None for one that is in a bay, or never goes."""
    to_come = [one for one in job.operations if one.id in plan.of and one.segment]
    runs = any(one.status is Status.RUNNING for one in to_come)
    if runs or any(one.bay and any(o.segment == one.id for o in to_come) for one in job.segments):
        return None
    for segment in job.segments:
        starts = [plan.of[one.id].start for one in to_come if one.segment == segment.id]
        if starts:
            return min(starts)
    return None

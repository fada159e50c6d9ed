"""The checker's rule 5: one bay for a segment, with what it takes, held by one car at a time."""

import datetime as dt
from collections.abc import Iterator

from jobs.planning.objective import held_bays
from jobs.planning.plan import Plan
from jobs.planning.problem import Job, Problem, Segment, Status

Found = Iterator[tuple[str, str]]


def bay_breaches(problem: Problem, plan: Plan) -> Found:
    """Each breach: where, and what is wrong."""
    holds: dict[str, list[tuple[dt.datetime, dt.datetime, str]]] = {}
    for job in problem.jobs:
        for one in job.operations:
            if one.segment is None and one.id in plan.of and plan.of[one.id].bay is not None:
                yield one.id, "is bench work and takes no bay"
        for segment in job.segments:
            yield from _segment(problem, plan, job, segment)
        for bay, begins, ends in held_bays(problem, plan, job):
            holds.setdefault(bay, []).append((begins, ends, job.id))
    for bay, spans in holds.items():
        yield from _one_car(bay, sorted(spans))
        for down in problem.bay[bay].down if bay in problem.bay else ():
            for begins, ends, car in spans:
                if begins < down.ends and down.starts < ends:
                    yield bay, f"is down from {down.starts} and holds {car} from {begins} to {ends}"


def _segment(problem: Problem, plan: Plan, job: Job, segment: Segment) -> Found:
    mine = [one for one in job.operations if one.segment == segment.id and one.id in plan.of]
    where = f"{job.id}, {segment.id}"
    bays = {plan.of[one.id].bay for one in mine}
    if None in bays:
        yield where, "takes a bay and has none"
    if len(bays) > 1:
        yield where, f"changes its bay: {', '.join(sorted(str(bay) for bay in bays))}"
    for bay in sorted(bay for bay in bays if bay is not None):
        lacking = segment.bay_features - problem.bay[bay].features
        if lacking and segment.bay is None:
            yield where, f"{bay} has not what it takes: {', '.join(sorted(lacking))}"
        for one in mine if segment.bay is None else ():
            missing = one.bay_features - problem.bay[bay].features
            if missing and one.status is Status.TODO:
                yield one.id, f"{bay} has not what it takes: {', '.join(sorted(missing))}"
        if segment.bay is not None and bay != segment.bay:
            yield where, f"stands in {segment.bay} already and is planned in {bay}"


def _one_car(bay: str, spans: list[tuple[dt.datetime, dt.datetime, str]]) -> Found:
    since, held_until, holder = spans[0][0], spans[0][0], ""
    for begins, ends, job in spans:
        # A car that only passes through does so between two others, not while one stands there.
        if begins < held_until and (begins < ends or since < begins):
            yield bay, f"holds {holder} and {job} at the same time, {begins}"
        if ends > held_until:
            since, held_until, holder = begins, ends, job

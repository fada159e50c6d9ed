"""A solver for tests of what is around the search: everything one after another, as the problem lists it."""

import datetime as dt

from jobs.planning.plan import Assignment, JobFinish, Plan, Proposal
from jobs.planning.problem import Operation, Problem, Status

STEP = dt.timedelta(minutes=15)


class OneAfterAnother:
    """Cars in the order of their numbers, or the other way round; each operation by the first who may."""

    def __init__(self, *, backwards: bool = False) -> None:
        self.backwards = backwards

    def carried_on(self, problem: Problem) -> Proposal:
        return self._plan(problem, backwards=False)

    def searched(self, problem: Problem, watch: object = None) -> Proposal:
        return self._plan(problem, backwards=self.backwards)

    def _plan(self, problem: Problem, *, backwards: bool) -> Proposal:
        at, found, finishes = problem.now, [], []
        for job in sorted(problem.jobs, key=lambda job: job.id, reverse=backwards):
            bays = {s.id: s.bay or _bay(problem, s.bay_features) for s in job.segments}
            for one in job.operations:
                if one.status is Status.DONE:
                    continue
                start = _next_working(problem, max(at, one.parts_at or at))
                at = _after(problem, start, one.work_minutes)
                bay = bays[one.segment] if one.segment else None
                found.append(Assignment(one.id, _who(problem, one, start.date()), bay, start, at))
            late = max(dt.timedelta(), at - job.due)
            finishes.append(JobFinish(job.id, at, int(late.total_seconds() // 60)))
        return Proposal(Plan(problem.name, tuple(found), tuple(finishes)), objective=0)


def _bay(problem: Problem, features: frozenset[str]) -> str:
    return next(bay.id for bay in problem.bays if features <= bay.features)


def _who(problem: Problem, one: Operation, day: dt.date) -> str | None:
    able = (p.id for p in problem.people if one.skill and p.may(one.skill, day, day))
    return one.person or next(able, None)


def _works(problem: Problem, at: dt.datetime) -> bool:
    minute = at.hour * 60 + at.minute
    return any(s.starts <= minute < s.ends for s in problem.calendars[0].shifts_on(at.date()))


def _next_working(problem: Problem, at: dt.datetime) -> dt.datetime:
    while not _works(problem, at):
        at += STEP
    return at


def _after(problem: Problem, at: dt.datetime, minutes: int) -> dt.datetime:
    while minutes > 0:
        minutes -= 15 if _works(problem, at) else 0
        at += STEP
    return at

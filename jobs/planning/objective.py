"""What a plan is worth, reckoned from its times alone: the sum that the search makes small.

W(t) is the working time from now to t in slots, where an instant counts as working if the calendar of
anybody has it as working time, absences left aside. Each car adds flow · W(finish), and late · weight ·
max(0, W(finish) - W(due)), and blocked · the working time for which it holds a bay.
"""

import datetime as dt

from jobs.planning.plan import Plan
from jobs.planning.problem import Job, Problem, Status
from jobs.planning.working import Working


def objective_of(problem: Problem, plan: Plan) -> float:
    """The objective in slots of the problem; the price of moves is not in it."""
    working = Working(problem)
    known: dict[dt.datetime, int] = {}

    def until(at: dt.datetime) -> int:
        if at not in known:
            known[at] = working.minutes_until(at)
        return known[at]

    total = 0
    for job in problem.jobs:
        ends = [plan.of[one.id].end for one in job.operations if one.id in plan.of]
        if not ends:
            continue
        finish = until(max(ends))
        due = until(min(job.due, max(ends)))  # what lies beyond does not count, however far
        total += problem.weights.flow * finish + problem.weights.late * job.weight * max(0, finish - due)
        if problem.weights.blocked:
            spans = held_bays(problem, plan, job)
            total += problem.weights.blocked * sum(until(ends) - until(begins) for _, begins, ends in spans)
    return total / problem.slot_minutes


def held_bays(problem: Problem, plan: Plan, job: Job) -> list[tuple[str, dt.datetime, dt.datetime]]:
    """Bay, from when and until when, of each segment of a job that is still to come or under way."""
    found: list[tuple[str, dt.datetime, dt.datetime]] = []
    following: dt.datetime | None = None
    for segment in reversed(job.segments):
        mine = [one for one in job.operations if one.segment == segment.id and one.id in plan.of]
        if not mine:
            continue
        running = any(one.status is Status.RUNNING for one in mine)
        begins = min(plan.of[one.id].start for one in mine)
        if segment.bay is not None or running:
            begins = problem.now
        ends = max(plan.of[one.id].end for one in mine)
        if not segment.rolls and following is not None:
            ends = max(ends, following)
        following = begins
        found.append((plan.of[mine[0].id].bay or "", begins, ends))
    return found[::-1]

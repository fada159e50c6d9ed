"""After one change: how soon the accepted order stands with new dates, and what a calmer proposal wins.

    python -m tests.prove.plan_changes FOLDER [NAME …]     shop-instance/1 files, each as the shop weighs it

Each problem is planned for eight seconds and that plan accepted; then one thing happens. Times are of the
processor and of the clock; `near` are operations of the next two days that move.
"""

import datetime as dt
import json
import sys
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from jobs.planning.budget import Limits
from jobs.planning.checker import breaches
from jobs.planning.plan import Plan
from jobs.planning.problem import CALM_DAYS, CALM_PRICE, SHOP, Calm, Problem, Span, Status
from jobs.planning.problem_files import read_problem
from jobs.planning.search import repair, search

DAY = dt.timedelta(days=1)


def accepted(problem: Problem, plan: Plan) -> Problem:
    """The problem with that plan accepted."""
    starts = {one.op: one.start for one in plan.assignments}
    people = {one.op: one.person for one in plan.assignments if one.person}
    bays = {one.op: one.bay for one in plan.assignments}
    return replace(problem, calm=Calm(problem.now + CALM_DAYS * DAY, CALM_PRICE, starts, people, bays))


def changes(problem: Problem, plan: Plan) -> Iterator[tuple[str, Problem]]:
    """A part five days late, somebody away for three days, and nothing at all."""
    in_bays = [one for one in plan.assignments if one.bay and problem.operation[one.op].status is Status.TODO]
    late = sorted(in_bays, key=lambda one: (one.start, one.op))[10]
    at = late.start.replace(hour=12, minute=0) + 5 * DAY
    jobs = tuple(
        replace(
            job,
            operations=tuple(
                replace(one, parts_at=at) if one.id == late.op else one for one in job.operations
            ),
        )
        for job in problem.jobs
    )
    yield "a part late", replace(problem, jobs=jobs)
    first = problem.now.replace(hour=0, minute=0) + DAY
    away = replace(problem.people[0], absences=(*problem.people[0].absences, Span(first, first + 3 * DAY)))
    yield "one away", replace(problem, people=(away, *problem.people[1:]))
    yield "nothing", problem


def prove(name: str, problem: Problem) -> bool:
    plan = search(problem, Limits(8.0)).plan
    good = True
    for what, changed in changes(accepted(problem, plan), plan):
        began, worked = time.monotonic(), time.process_time()
        soon = repair(changed)
        wall, processor = time.monotonic() - began, time.process_time() - worked
        better = search(changed, Limits(10.0))
        ok = not any(breaches(changed, one.plan) for one in (soon, better))
        good &= ok
        print(
            f"{name:8} {what:12} {processor:6.2f} {wall:6.2f} {soon.objective:12} {len(soon.moved):5}"
            f" {better.objective:12} {len(better.moved):5} {'good' if ok else 'BAD':>6}",
            flush=True,
        )
    return good


def main(folder: Path, names: list[str]) -> int:
    print("file     change          cpu   wall    at once it  near   proposal is  near  plans")
    good = True
    for name in names or ["s8-1", "s24-1", "s60-1"]:
        document = json.loads((folder / f"{name}.json").read_text(encoding="utf-8"))
        good &= prove(name, replace(read_problem(document), weights=SHOP))
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), sys.argv[2:]))

"""Before the search: what cannot be planned is set aside with words, and so are pins that clash."""

from dataclasses import dataclass, replace

from jobs.planning.compiled import Compiled
from jobs.planning.compiling import MOST_DAYS, Unplaceable, compiled_of, first_days
from jobs.planning.faults import faults_of, left_out, reduced
from jobs.planning.pins import without_clashes
from jobs.planning.plan import Fault
from jobs.planning.problem import Job, Problem, Status
from jobs.planning.renewing import as_if_renewed
from jobs.planning.rules import Rules


@dataclass(frozen=True)
class Prepared:
    """The problem that is planned, what is said about the rest, and a first schedule by rules."""

    problem: Problem
    faults: tuple[Fault, ...]
    clashing: tuple[str, ...] = ()
    compiled: Compiled | None = None
    rules: Rules | None = None


def prepared(problem: Problem, seed: int) -> Prepared:
    """What can be planned, with a first schedule where there is one."""
    hinders, warnings = faults_of(problem)
    out = left_out(problem, {fault.operation for fault in hinders})
    faults = [*hinders, *_with_them(problem, hinders, out), *warnings]
    planned = reduced(problem, out)
    if all(one.status is Status.DONE for one in planned.operations()):
        return Prepared(planned, tuple(faults))
    days = first_days(planned)
    rules = _scheduled(planned, days, seed)
    if rules is None:
        renewed, told = as_if_renewed(planned, days)
        rules = _scheduled(renewed, days, seed) if told else None
        if rules is not None:
            planned, faults = renewed, [*faults, *told]
    if rules is not None:
        return Prepared(planned, tuple(faults), (), rules.compiled, rules)
    return _with_care(planned, faults, seed)


def _with_care(problem: Problem, faults: list[Fault], seed: int) -> Prepared:
    """Where not all goes at once: without what fits nowhere, without pins that clash, over more days."""
    planned, unplaceable = _placeable(problem)
    faults += unplaceable
    planned, clashing = without_clashes(planned, seed)
    if all(one.status is Status.DONE for one in planned.operations()):
        return Prepared(planned, tuple(faults), clashing)
    days = first_days(planned)
    while days <= 3 * MOST_DAYS:
        rules = _scheduled(planned, min(days, MOST_DAYS), seed)
        if rules is not None:
            return Prepared(planned, tuple(faults), clashing, rules.compiled, rules)
        days *= 3
    return _without_the_lost(planned, faults, clashing, seed)


def _without_the_lost(
    problem: Problem, faults: list[Fault], clashing: tuple[str, ...], seed: int
) -> Prepared:
    """Where not all cars get through: without those for which no way is found even alone."""
    lost = [
        job
        for job in problem.jobs
        if any(one.status is not Status.DONE for one in job.operations)
        and _scheduled(replace(problem, jobs=(job,), pins=()), first_days(problem), seed) is None
    ]
    out = {one.id for job in lost for one in job.operations if one.status is not Status.DONE}
    rest = reduced(problem, out)
    faults = [*faults, *(_lost(job) for job in lost)]
    if lost and any(one.status is not Status.DONE for one in rest.operations()):
        rules = _scheduled(rest, first_days(rest), seed)
        if rules is not None:
            return Prepared(rest, tuple(faults), clashing, rules.compiled, rules)
    stuck = Fault(
        problem.name,
        "no order was found in which every car gets through",
        "Look for bays that are closed while a car stands in them, and for pins",
    )
    return Prepared(problem, (*faults, stuck), clashing)


def _lost(job: Job) -> Fault:
    what = "no way through the shop was found for it, even if it were there alone"
    way_out = "Look for a bay that closes while it stands there, and at who may do its operations and when"
    return Fault(job.name or job.id, what, way_out, job.id)


def _scheduled(problem: Problem, days: int, seed: int) -> Rules | None:
    """The rules with one first schedule, if there is any within so many days."""
    try:
        rules = Rules(compiled_of(problem, days), seed)
    except Unplaceable:
        return None
    return rules if rules.first() else None


def _with_them(problem: Problem, hinders: list[Fault], out: set[str]) -> list[Fault]:
    """One fault for each car that goes without some operations because of others."""
    told = {fault.operation for fault in hinders}
    found = []
    for job in problem.jobs:
        also = [one.id for one in job.operations if one.id in out - told]
        stands = any(one.bay for one in job.segments) and any(one.id in out for one in job.operations)
        if also:
            what = f"{len(also)} more of its operations cannot be planned before that is settled"
            found.append(Fault(job.name or job.id, what, "The rest of the shop is planned", job.id))
        if stands:
            what = "stands in a bay and cannot be planned to its end"
            way_out = (
                "Settle it first: the plan takes the bay for free once what is planned of the car is done"
            )
            found.append(Fault(job.name or job.id, what, way_out, job.id))
    return found


def _placeable(problem: Problem) -> tuple[Problem, list[Fault]]:
    """The problem without operations that fit nowhere, pins left aside."""
    faults: list[Fault] = []
    unpinned, days = replace(problem, pins=()), min(MOST_DAYS, 3 * first_days(problem))
    while True:
        try:
            compiled_of(unpinned, days)
        except Unplaceable as none:
            out = left_out(unpinned, none.operations)
            out |= set(none.operations)
            faults += [_fits_nowhere(unpinned, one) for one in dict.fromkeys(none.operations)]
            problem, unpinned = reduced(problem, out), reduced(unpinned, out)
        else:
            return problem, faults


def _fits_nowhere(problem: Problem, operation: str) -> Fault:
    job, one = problem.job_of[operation], problem.operation[operation]
    rules = [words for flag, words in ((one.same_day, "on one date"), (one.unbroken, "unbroken")) if flag]
    how = f"{one.work_minutes} minutes{' ' if rules else ''}{' and '.join(rules)}"
    what = f"fits into the hours of nobody who may do it ({how}, skill “{one.skill}”)"
    way_out = "Shorten it or split it, give somebody longer hours, or see to certificates and instruments"
    return Fault(f"{job.name or job.id}, {one.id}", what, way_out, job.id, one.id)

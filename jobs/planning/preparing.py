"""Before the search: what cannot be planned is set aside with words, and so are pins that clash."""

from dataclasses import dataclass, replace

from jobs.planning.compiled import Compiled
from jobs.planning.compiling import first_days
from jobs.planning.faults import faults_of, left_out, reduced
from jobs.planning.getting_through import getting_through, nothing_to_do, over_days, placeable, scheduled
from jobs.planning.in_work import contradictions
from jobs.planning.pins import without_clashes
from jobs.planning.plan import Fault
from jobs.planning.problem import Problem
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
    problem, pointless = _without_pointless_pins(problem)
    wrong = list(contradictions(problem))
    hinders += [fault for fault, _ in wrong]
    along = {one for _, ones in wrong for one in ones}
    out = left_out(problem, {fault.operation for fault in hinders} | along)
    faults = [*hinders, *_with_them(problem, hinders, out), *warnings, *pointless]
    planned = reduced(problem, out)
    if nothing_to_do(planned):
        return Prepared(planned, tuple(faults))
    days = first_days(planned)
    rules = scheduled(planned, days, seed)
    if rules is None:
        renewed, told = as_if_renewed(planned, days)
        rules = scheduled(renewed, days, seed) if told else None
        if rules is not None:
            planned, faults = renewed, [*faults, *told]
    if rules is not None:
        return Prepared(planned, tuple(faults), (), rules.compiled, rules)
    return _with_care(planned, faults, seed)


def _without_pointless_pins(problem: Problem) -> tuple[Problem, list[Fault]]:
    """The problem without pins upon what is not there, each told."""
    kept, faults = [], []
    for pin in problem.pins:
        name = pin.operation or pin.job
        if name in (problem.operation if pin.operation else problem.job):
            kept.append(pin)
        else:
            what = f"there is no {'operation' if pin.operation else 'car'} “{name}”"
            faults.append(Fault(pin.id, what, "Take the pin away"))
    return (replace(problem, pins=tuple(kept)) if faults else problem), faults


def _with_care(problem: Problem, faults: list[Fault], seed: int) -> Prepared:
    """Where not all goes at once: without what fits nowhere, then over more days, then without the cars
    that do not get through; pins come last, since all that is wrong without them is not theirs."""
    planned, unplaceable, days = placeable(problem)
    faults += unplaceable
    if nothing_to_do(planned):
        return Prepared(planned, tuple(faults))
    free = getting_through(replace(planned, pins=()), days, seed)
    faults += free.faults
    out = {one.id for one in planned.operations()} - {one.id for one in free.problem.operations()}
    planned = reduced(planned, out)
    if free.rules is None or not planned.pins:
        return Prepared(planned, tuple(faults), (), free.compiled, free.rules)
    planned, clashing = without_clashes(planned, seed)
    rules = over_days(planned, free.days, seed)
    while rules is None and planned.pins:
        rest, more = without_clashes(planned, seed, whole=True)
        clashing = clashing or more or tuple(pin.id for pin in planned.pins)
        planned = rest if more else replace(planned, pins=())
        rules = over_days(planned, free.days, seed) if planned.pins else None
    rules = rules or free.rules  # without pins it is the same problem
    return Prepared(planned, tuple(faults), clashing, rules.compiled, rules)


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

"""Where not all goes at once: what fits nowhere, how many days it takes, which cars do not get through."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from jobs.planning.compiled import Compiled
from jobs.planning.compiling import MOST_DAYS, Unplaceable, compiled_of, enough_days, first_days
from jobs.planning.faults import left_out, reduced, said
from jobs.planning.plan import Fault
from jobs.planning.problem import Job, Problem, Span, Status
from jobs.planning.rules import Rules


@dataclass(frozen=True)
class Through:
    """What gets through, with a schedule over so many days; `rules` is None where nothing does."""

    problem: Problem
    rules: Rules | None
    days: int
    faults: list[Fault] = field(default_factory=list)

    @property
    def compiled(self) -> Compiled | None:
        return self.rules.compiled if self.rules else None


def nothing_to_do(problem: Problem) -> bool:
    return all(one.status is Status.DONE for one in problem.operations())


def scheduled(problem: Problem, days: int, seed: int, work: float = 0.0) -> Rules | None:
    """The rules with one first schedule, if there is any within so many days.

    Where the rules come to a standstill the solver looks for one, with so much work.
    """
    try:
        rules = Rules(compiled_of(problem, min(days, MOST_DAYS)), seed)
    except Unplaceable:
        return None
    return rules if rules.first(work) else None


def over_days(problem: Problem, days: int, seed: int) -> Rules | None:
    """A first schedule within so many days, or within as many as all takes one after another; at last
    the solver's."""
    longer = [one for one in enough_days(problem) if one > days]
    for within in (days, *longer):
        rules = scheduled(problem, within, seed)
        if rules is not None:
            return rules
    return scheduled(problem, longer[0] if longer else days, seed, WHOLE_WORK)


# How much work the solver may have for a whole shop, and for one car alone.
WHOLE_WORK, ALONE_WORK = 1.0, 0.1


def getting_through(problem: Problem, days: int, seed: int) -> Through:
    """As many cars as are found to get through, the others told."""
    rules = over_days(problem, days, seed)
    if rules is not None:
        return Through(problem, rules, _days(rules))
    jobs = [job for job in problem.jobs if _open(job)]
    # What runs goes on, whoever is looked at; unless that alone cannot be.
    keeps = scheduled(_only(problem, [], True), _long(problem, days), seed) is not None
    lost = [job for job in jobs if not _gets_through_alone(_only(problem, [job], keeps), seed)]
    faults = [_lost(problem, job) for job in lost]
    rest = _only(problem, [job for job in problem.jobs if job not in lost], keeps)
    if nothing_to_do(rest):
        return Through(rest, None, days, faults)
    rules = over_days(rest, days, seed) if lost else None
    if rules is None:
        kept = _together(rest, days, seed, keeps)
        faults += [_not_together(job) for job in rest.jobs if _open(job) and job not in kept]
        rest = _only(rest, kept, keeps)
        rules = None if nothing_to_do(rest) else scheduled(rest, _long(problem, days), seed)
    return Through(rest, rules, _days(rules) if rules else days, faults)


def _days(rules: Rules) -> int:
    return rules.compiled.axis.days


def _open(job: Job) -> bool:
    return any(one.status is not Status.DONE for one in job.operations)


def _only(problem: Problem, jobs: Sequence[Job], keeps: bool) -> Problem:
    """The problem with the open operations of those cars only, and what runs if it `keeps` that."""
    kept = {one.id for job in jobs for one in job.operations}
    stays = {Status.DONE, Status.RUNNING} if keeps else {Status.DONE}
    return reduced(
        problem, {o.id for o in problem.operations() if o.id not in kept and o.status not in stays}
    )


def _gets_through_alone(alone: Problem, seed: int) -> bool:
    most = max(first_days(alone), *enough_days(alone))
    return scheduled(alone, most, seed, ALONE_WORK) is not None


def _long(problem: Problem, days: int) -> int:
    return max(days, enough_days(problem)[0])


def _together(problem: Problem, days: int, seed: int, keeps: bool) -> list[Job]:
    """Cars that get through together, those that are begun first: one half after another is tried."""
    kept: list[Job] = []

    def add(some: list[Job]) -> None:
        nonlocal kept
        if scheduled(_only(problem, [*kept, *some], keeps), _long(problem, days), seed) is not None:
            kept = [*kept, *some]
        elif len(some) > 1:
            add(some[: len(some) // 2])
            add(some[len(some) // 2 :])

    add(sorted(filter(_open, problem.jobs), key=lambda job: not any(one.bay for one in job.segments)))
    return kept


def _lost(problem: Problem, job: Job) -> Fault:
    for segment in job.segments:
        gap = _closes(problem, job) if segment.bay is not None else None
        if gap is not None:
            what = f"stands in {segment.bay}, which closes on {said(gap.starts)}, and cannot leave it before"
            return Fault(job.name or job.id, what, "Put the closure off, or free the bay before it", job.id)
    what = "no way through the shop was found for it, even if it were there alone"
    way_out = "Look for a bay that closes while it stands there, and at who may do its operations and when"
    return Fault(job.name or job.id, what, way_out, job.id)


def _closes(problem: Problem, job: Job) -> Span | None:
    """When the bay in which a car stands closes next."""
    bays = [problem.bay[one.bay] for one in job.segments if one.bay is not None]
    coming = [gap for bay in bays for gap in bay.down if gap.ends > problem.now]
    return min(coming, default=None)


def _not_together(job: Job) -> Fault:
    what = "no order was found in which it gets through together with the other cars"
    way_out = (
        "Look for bays that are closed while a car stands in them, and for cars that wait for each other"
    )
    return Fault(job.name or job.id, what, way_out, job.id)


def placeable(problem: Problem) -> tuple[Problem, list[Fault], int]:
    """The problem without operations that fit nowhere, pins left aside, and the days that it takes."""
    faults: list[Fault] = []
    unpinned, days = replace(problem, pins=()), first_days(problem)
    while True:
        try:
            compiled_of(unpinned, days)
        except Unplaceable as none:
            nowhere = list(none.operations) if days >= MOST_DAYS else _nowhere(unpinned, none.operations)
            if not nowhere:
                days = MOST_DAYS if days >= MOST_DAYS // 3 else 3 * days
                continue
            out = left_out(unpinned, nowhere) | set(nowhere)
            faults += [_fits_nowhere(unpinned, one) for one in dict.fromkeys(nowhere)]
            problem, unpinned = reduced(problem, out), reduced(unpinned, out)
        else:
            return problem, faults, days


def _nowhere(problem: Problem, names: Sequence[str]) -> list[str]:
    """Those of the operations that fit nowhere in ten years either."""
    others = {one.id for one in problem.operations() if one.id not in names and one.status is Status.TODO}
    try:
        compiled_of(reduced(problem, others), MOST_DAYS)
    except Unplaceable as none:
        return [one for one in none.operations if one in names]
    return []


def _fits_nowhere(problem: Problem, operation: str) -> Fault:
    job, one = problem.job_of[operation], problem.operation[operation]
    rules = [words for flag, words in ((one.same_day, "on one date"), (one.unbroken, "unbroken")) if flag]
    how = f"{one.work_minutes} minutes{' ' if rules else ''}{' and '.join(rules)}"
    what = f"fits into the hours of nobody who may do it ({how}, skill “{one.skill}”)"
    way_out = "Shorten it or split it, give somebody longer hours, or see to certificates and instruments"
    return Fault(f"{job.name or job.id}, {one.id}", what, way_out, job.id, one.id)

"""What cannot be as the problem says that it stands: one person at two works, two cars in one bay."""

from collections.abc import Iterator

from jobs.planning.plan import Fault
from jobs.planning.problem import Job, Operation, Problem, Segment, Status

Found = Iterator[tuple[Fault, tuple[str, ...]]]


def contradictions(problem: Problem) -> Found:
    """A fault for each that cannot go on as it is said to, with its operations; what is met first goes on."""
    yield from _at_two_works(problem)
    yield from _in_one_bay(problem)


def _at_two_works(problem: Problem) -> Found:
    at: dict[str, str] = {}
    for job in problem.jobs:
        for one in job.operations:
            if one.status is not Status.RUNNING:
                continue
            names = [name for name in (one.person, *one.others) if name]
            busy = [name for name in names if name in at]
            for name in busy[:1]:
                what = f"{name} is said to be at it, and at {at[name]} at the same time"
                yield _fault(job, [one], what, "Pause one of the two, or put somebody else on it")
            if not busy:
                at |= dict.fromkeys(names, one.id)


def _in_one_bay(problem: Problem) -> Found:
    """Where a car stands in a bay that another has, in two bays, or in one that is closed now."""
    there: dict[str, str] = {}
    for job in problem.jobs:
        standing: list[str] = []
        for segment, mine in _occupied(job):
            bay = segment.bay or ""
            way_out = "Say where it stands, or take its bay off it"
            if there.get(bay, job.id) != job.id:
                yield _fault(job, mine, f"is said to stand in {bay}, and so is {there[bay]}", way_out)
            elif standing:
                what = f"is said to stand in {' and '.join([*standing, bay])} at the same time"
                yield _fault(job, mine, what, way_out)
            elif any(gap.starts <= problem.now < gap.ends for gap in problem.bay[bay].down):
                what = f"stands in {bay}, which is closed now"
                yield _fault(job, mine, what, "Open the bay while it stands there, or say where it stands")
            else:
                there[bay] = job.id
                standing.append(bay)


def _occupied(job: Job) -> Iterator[tuple[Segment, list[Operation]]]:
    """The segments in whose bay the car stands now, each with what is left of it."""
    for segment in job.segments:
        left = [o for o in job.operations if o.segment == segment.id and o.status is not Status.DONE]
        if segment.bay is not None and left:
            yield segment, left


def _fault(job: Job, mine: list[Operation], what: str, way_out: str) -> tuple[Fault, tuple[str, ...]]:
    first = mine[0].id
    fault = Fault(f"{job.name or job.id}, {first}", what, way_out, job.id, first)
    return fault, tuple(one.id for one in mine)

"""Where cars stand: bays that are alike as one pool, and the pools that a segment may take."""

from jobs.planning.axis import Axis
from jobs.planning.compiled import BayPool
from jobs.planning.problem import Bay, Job, PinKind, Problem, Segment, Status


class Standing:
    """The bays of a problem. A bay that is down at times, or that a pin names, is a pool of its own."""

    def __init__(self, problem: Problem, axis: Axis) -> None:
        self.problem = problem
        alone = {pin.bay for pin in problem.pins if pin.kind is PinKind.BAY} | self._passed_through()
        groups: dict[tuple[frozenset[str], str], list[int]] = {}
        for number, bay in enumerate(problem.bays):
            own = bay.id if bay.down or bay.id in alone else ""
            groups.setdefault((bay.features, own), []).append(number)
        self.pools = tuple(
            BayPool(tuple(members), _closed(axis, problem.bays[members[0]])) for members in groups.values()
        )

    def _passed_through(self) -> set[str]:
        """The bays that a car may go into and out of at one instant, at no instant of another's stay."""
        found: set[str] = set()
        for job in self.problem.jobs:
            for segment in job.segments:
                mine = [
                    one.work_minutes
                    for one in job.operations
                    if one.segment == segment.id and one.status is not Status.DONE
                ]
                if mine and not any(mine):
                    takes = job.takes(segment)
                    found |= {bay.id for bay in self.problem.bays if takes <= bay.features}
        return found

    def named(self, bay: str | None) -> int:
        """The pool of the bay of that name; -1 for none."""
        for number, pool in enumerate(self.pools):
            if any(self.problem.bays[member].id == bay for member in pool.members):
                return number
        return -1

    def pools_for(self, job: Job, segment: Segment) -> tuple[int, ...]:
        """Where the segment may stand: in the bay in which it does, or in any that has what it takes."""
        if segment.bay is not None:
            suitable = {self.named(segment.bay)}
        else:
            takes = job.takes(segment)
            bays = [bay.id for bay in self.problem.bays if takes <= bay.features]
            suitable = {self.named(bay) for bay in bays}
        for pin in self.problem.pins:
            if pin.kind is PinKind.BAY and pin.job == job.id and self._meant(pin.segment, job) == segment.id:
                suitable &= {self.named(pin.bay)}
        return tuple(sorted(suitable, key=self._use))

    def _use(self, pool: int) -> tuple[int, int]:
        """What can do least else comes first."""
        members = self.pools[pool].members if pool >= 0 else ()
        return (len(self.problem.bays[members[0]].features) if members else 0, pool)

    def _meant(self, segment: str, job: Job) -> str:
        """The segment that a pin means: the one that it names, or the first that is still to come."""
        if segment:
            return segment
        to_come = {one.segment for one in job.operations if one.status is not Status.DONE}
        return next((one.id for one in job.segments if one.id in to_come), "")


def _closed(axis: Axis, bay: Bay) -> tuple[tuple[int, int], ...]:
    """From which position to which it is down; what is down at now is so before the first."""
    spans = [span for span in bay.down if span.ends > axis.now]
    return tuple(
        (axis.position(span.starts) if span.starts >= axis.now else -1, axis.position(span.ends))
        for span in spans
    )

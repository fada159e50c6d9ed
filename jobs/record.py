"""One job as the record has it: loaded whole in a fixed number of queries, judged without any.

The gates and every page ask these classes; nothing else works out whether a checkpoint is closed.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from jobs.fetching import NO_PLAN, EntryMark, Fetched, PlannedTimes, fetch
from jobs.models import (
    Authority,
    CheckpointKind,
    Deviation,
    ExtraWork,
    Flag,
    FoundWork,
    Job,
    Nonconformance,
    Omission,
    OperationState,
    Override,
    Proves,
    RevisionDecision,
)
from jobs.reasons import Reason
from jobs.standing import CLOSED, CheckpointStanding, CheckState, OperationStanding
from jobs.superseded import Superseded
from parts.models import KitDecision
from parts.newer_lists import NewerList
from parts.standing import OrderStanding
from shop.models import ShopSettings

__all__ = ["CLOSED", "CheckState", "CheckpointStanding", "JobRecord", "OperationStanding"]

# Signed by somebody who looks at another's work, so no work of their own.
LOOKING_KINDS = frozenset({CheckpointKind.WELD, CheckpointKind.WITNESS})
# Entries of somebody who has the work in hand.
WORKING_KINDS = frozenset({"start", "resume", "weld_made", "loosen"})


@dataclass(frozen=True)
class JobRecord:
    """Everything that is known of one job."""

    job: Job
    operations: tuple[OperationStanding, ...]
    authorities: tuple[Authority, ...]
    overrides: tuple[Override, ...]
    nonconformances: tuple[Nonconformance, ...]
    extra_works: tuple[ExtraWork, ...]
    found_works: tuple[FoundWork, ...]
    deviations: tuple[Deviation, ...]
    omissions: tuple[Omission, ...]
    kit: OrderStanding
    settings: ShopSettings
    last_entries: Mapping[str, UUID]
    starters: Mapping[str, frozenset[int]]
    welded_at: Mapping[str, dt.datetime]
    planned: PlannedTimes = NO_PLAN
    decisions: tuple[RevisionDecision, ...] = ()
    superseded: Superseded | None = None
    newer_list: NewerList | None = None
    kit_decisions: tuple[KitDecision, ...] = ()

    @classmethod
    def load(cls, job: Job) -> "JobRecord":
        """Everything of `job`, in a number of queries that does not hang on its size."""
        return cls.load_many([job])[job.pk]

    @classmethod
    def load_many(cls, jobs: Iterable[Job]) -> dict[int, "JobRecord"]:
        """Everything of several jobs by their keys, in no more queries than for one."""
        of = list(jobs)
        fetched, settings = fetch(of), ShopSettings.current()
        return {job.pk: cls.of(job, fetched, settings) for job in of}

    @classmethod
    def of(cls, job: Job, fetched: Fetched, settings: ShopSettings) -> "JobRecord":
        """One job out of what was fetched."""
        entries = fetched.entries.get(job.stream, ())
        return cls(
            job=job,
            operations=fetched.operations.get(job.pk, ()),
            authorities=fetched.authorities.get(job.pk, ()),
            overrides=fetched.overrides.get(job.pk, ()),
            nonconformances=fetched.nonconformances.get(job.pk, ()),
            extra_works=fetched.extra_works.get(job.pk, ()),
            found_works=fetched.found_works.get(job.pk, ()),
            deviations=fetched.deviations.get(job.pk, ()),
            omissions=fetched.omissions.get(job.pk, ()),
            kit=fetched.kits[job.kit_order_id],
            settings=settings,
            last_entries={entry.subject: entry.id for entry in entries},
            welded_at={entry.subject: entry.at for entry in entries if entry.kind == "weld_made"},
            starters=_starters(entries, fetched.operations.get(job.pk, ())),
            planned=fetched.planned.get(job.pk, NO_PLAN),
            decisions=fetched.decisions.get(job.pk, ()),
            superseded=fetched.superseded.get(job.pk),
            newer_list=None if job.is_released else fetched.newer_lists.get(job.kit_order_id),
            kit_decisions=fetched.kit_decisions.get(job.kit_order_id, ()),
        )

    @cached_property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.settings.zone)

    @cached_property
    def checkpoints(self) -> tuple[CheckpointStanding, ...]:
        return tuple(c for operation in self.operations for c in operation.checkpoints)

    @cached_property
    def in_hand(self) -> OperationStanding | None:
        """The operation to be worked on: the first in work, else the first not done."""
        in_work = next((o for o in self.operations if o.is_in_work), None)
        return in_work or next((o for o in self.operations if not o.is_done), None)

    @property
    def open_nonconformances(self) -> tuple[Nonconformance, ...]:
        return tuple(n for n in self.nonconformances if n.is_open)

    @property
    def allows_cutting(self) -> bool:
        return any(a.allows_cutting for a in self.authorities)

    @property
    def cuts_structure(self) -> bool:
        """Whether an operation of this car's route cuts structure; a bolt-in kit's does not."""
        return any(o.does(Flag.CUTS_STRUCTURE) for o in self.operations)

    @property
    def extra_work_waiting(self) -> tuple[ExtraWork, ...]:
        """Work beyond the authority that the customer has not answered yet."""
        return tuple(e for e in self.extra_works if e.is_waiting)

    def found_works_at(self, operation: OperationStanding) -> tuple[FoundWork, ...]:
        """Work that was met at an operation, beyond the route."""
        row = operation.job_operation
        return tuple(f for f in self.found_works if f.job_operation_id == row.pk)

    def find(self, code: str) -> OperationStanding | None:
        return next((o for o in self.operations if o.code == code), None)

    def find_checkpoint(self, code: str) -> CheckpointStanding | None:
        return next((c for c in self.checkpoints if c.code == code), None)

    def awaits_witness(self, standing: CheckpointStanding) -> bool:
        """Whether a second person has still to read this: until then nobody is shown the first reading.

        A mark or a cradle that does not stand right is told at once: it is made or moved again, and read anew
        by both. What two persons read of one is shown when both have read.
        """
        witnesses = [c for c in self.checkpoints if c.checkpoint.witness_of == standing.code]
        if standing.checkpoint.kind in {CheckpointKind.MARK, CheckpointKind.POSITION}:
            return standing.is_closed and any(c.current is None for c in witnesses)
        return standing.current is not None and any(not c.is_closed for c in witnesses)

    def is_set_aside(self, operation: OperationStanding, reason: Reason) -> bool:
        """Whether somebody has set it aside there; of missing parts, at least as many as are missing now."""
        return any(
            o.reason_code == reason.code and (o.pieces is None or (reason.pieces or 0) <= o.pieces)
            for o in self.overrides
            if o.job_operation_id == operation.job_operation.pk
        )

    def position_of(self, standing: CheckpointStanding) -> int:
        return standing.job_operation.position

    def earlier(self, operation: OperationStanding) -> tuple[OperationStanding, ...]:
        return tuple(o for o in self.operations if o.position < operation.position)

    def must_come_before(self, operation: OperationStanding) -> tuple[OperationStanding, ...]:
        """What must be done before it. An operation that was left out hands on what had to come before it."""
        found: dict[str, OperationStanding] = {}
        asked = list(operation.after)
        while asked:
            before = self.find(asked.pop(0))
            if before is not None and before.code not in found:
                found[before.code] = before
                if before.state == OperationState.NOT_APPLICABLE:
                    asked += before.after
        return tuple(found.values())

    def on_the_way_to(self, operation: OperationStanding) -> frozenset[str]:
        """The codes of all that leads to an operation, straight before it or further back."""
        found: set[str] = set()
        asked = list(operation.after)
        while asked:
            before = self.find(asked.pop())
            if before is not None and before.code not in found:
                found.add(before.code)
                asked += before.after
        return frozenset(found)

    def stands_for(self, operation: OperationStanding) -> frozenset[str]:
        """Its own code and those of the operations that it does once more."""
        found: set[str] = set()
        at: OperationStanding | None = operation
        while at is not None:
            found.add(at.code)
            at = self.find(at.repeats) if at.repeats else None
        return frozenset(found)

    def still_to_do(self, code: str) -> OperationStanding | None:
        """The first operation not done that is the one of that code, or does it once more."""
        return next((o for o in self.operations if not o.is_done and code in self.stands_for(o)), None)

    def once_more(self, code: str) -> tuple[OperationStanding, ...]:
        """The operations that do once more what an operation has done, and those that do that once more."""
        return tuple(o for o in self.operations if o.code != code and code in self.stands_for(o))

    def welders(self, code: str) -> frozenset[int]:
        """Who made the welds of an operation: there, or where it was done once more."""
        again = (self.workers(o.code) for o in self.once_more(code))
        return self.workers(code).union(*again)

    def saw(self, subject: str) -> UUID | None:
        """What somebody who looks now has seen of a subject."""
        return self.last_entries.get(subject)

    def workers(self, code: str) -> frozenset[int]:
        """Who did the work of an operation: started it, took it up, finished it, recorded what they did."""
        operation = self.find(code)
        readers = {
            r.person_id
            for c in (operation.checkpoints if operation else ())
            if c.checkpoint.kind not in LOOKING_KINDS
            for r in c.results
        }
        return self.starters.get(code, frozenset()) | readers

    def last_hot_work(self, *, up_to: int) -> dt.datetime | None:
        """When sparks last flew in an operation at or before that position.

        Starting hot work counts, and so does whatever is recorded in it but permit and fire watch, and its
        end where the watch is kept after it: rather too late a beginning of the watch than too early.
        """
        hot = [o for o in self.operations if o.position <= up_to and o.does(Flag.HOT_WORK)]
        times = [time for o in hot for time in (*_hot_times(o), *self._welded(o.code))]
        times += [at for o in hot if o.position < up_to and (at := o.job_operation.finished_at)]
        return max(times, default=None)

    def _welded(self, code: str) -> tuple[dt.datetime, ...]:
        """When the last weld of the map was made in an operation."""
        return (self.welded_at[code],) if code in self.welded_at else ()

    def lapsed(self, standing: CheckpointStanding, *, now: dt.datetime) -> str:
        """Why a closed checkpoint does not hold any more, in words; empty where it does."""
        result = standing.current
        if result is None:
            return ""
        if standing.proves(Proves.PERMIT):
            day = result.recorded_at.astimezone(self.zone).date()
            if day != now.astimezone(self.zone).date():
                return _("the permit was given on another day")
        moved_at = self.job.moved_at
        placed = standing.proves(Proves.DATUM) or standing.proves(Proves.LEVEL)
        if placed and moved_at is not None and result.recorded_at < moved_at:
            return _("the car was moved or lifted since")
        return ""


def _hot_times(operation: OperationStanding) -> Iterable[dt.datetime]:
    if operation.job_operation.started_at is not None:
        yield operation.job_operation.started_at
    for checkpoint in operation.checkpoints:
        if not (checkpoint.proves(Proves.PERMIT) or checkpoint.proves(Proves.FIRE_WATCH)):
            for result in checkpoint.results:
                yield result.recorded_at


def _starters(
    entries: Iterable[EntryMark], operations: Iterable[OperationStanding]
) -> dict[str, frozenset[int]]:
    """Who signed for the work of each operation. Whoever passes a hold point has only looked at it."""
    passed = {o.code for o in operations if o.operation.is_hold_point}
    starters: dict[str, set[int]] = defaultdict(set)
    for entry in entries:
        code = entry.subject.partition("/")[0]
        if entry.kind in WORKING_KINDS or (entry.kind == "finish" and code not in passed):
            starters[code].add(entry.signer_id)
    return {subject: frozenset(people) for subject, people in starters.items()}

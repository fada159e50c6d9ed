"""One job as the record has it: loaded whole in a fixed number of queries, judged without any.

The gates and every page ask these classes; nothing else works out whether a checkpoint is closed.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from uuid import UUID
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from parts.reconciling import OrderStanding, reconcile

from jobs.models import (
    Authority,
    Checkpoint,
    CheckpointKind,
    Flag,
    Job,
    JobOperation,
    Nonconformance,
    Operation,
    OperationState,
    Override,
    Proves,
    Result,
    ResultVerdict,
)
from shop.models import Entry, Outcome, ShopSettings


class CheckState(StrEnum):
    """Where a checkpoint of a job stands."""

    OPEN = "open"
    REOPENED = "reopened"
    CONFORMS = "conforms"
    ACCEPTED = "accepted"
    TOO_CLOSE = "too_close"
    DOES_NOT_CONFORM = "does_not_conform"


CLOSED = frozenset({CheckState.CONFORMS, CheckState.ACCEPTED})
STATE_OF_VERDICT = {
    ResultVerdict.CONFORMS: CheckState.CONFORMS,
    ResultVerdict.TOO_CLOSE: CheckState.TOO_CLOSE,
    ResultVerdict.DOES_NOT_CONFORM: CheckState.DOES_NOT_CONFORM,
}
# Signed by somebody who looks at another's work, so no work of their own.
LOOKING_KINDS = frozenset({CheckpointKind.WELD, CheckpointKind.WITNESS})


@dataclass(frozen=True)
class CheckpointStanding:
    """A checkpoint of one job with all its results, the oldest first."""

    checkpoint: Checkpoint
    job_operation: JobOperation
    results: tuple[Result, ...]

    @property
    def code(self) -> str:
        return self.checkpoint.code

    @property
    def last(self) -> Result | None:
        return self.results[-1] if self.results else None

    @property
    def current(self) -> Result | None:
        """The result in force: the newest, unless it was opened again."""
        last = self.last
        return None if last is None or hasattr(last, "reopening") else last

    @property
    def state(self) -> CheckState:
        if self.last is None:
            return CheckState.OPEN
        if self.current is None:
            return CheckState.REOPENED
        if hasattr(self.current, "acceptance"):
            return CheckState.ACCEPTED
        return STATE_OF_VERDICT[ResultVerdict(self.current.verdict)]

    @property
    def is_closed(self) -> bool:
        return self.state in CLOSED

    def proves(self, what: str) -> bool:
        return what in self.checkpoint.proves


@dataclass(frozen=True)
class OperationStanding:
    """An operation of one job with its checkpoints."""

    job_operation: JobOperation
    operation: Operation
    checkpoints: tuple[CheckpointStanding, ...]

    @property
    def code(self) -> str:
        return self.operation.code

    @property
    def position(self) -> int:
        return self.job_operation.position

    @property
    def state(self) -> str:
        return self.job_operation.state

    @property
    def is_done(self) -> bool:
        return self.state in {OperationState.FINISHED, OperationState.NOT_APPLICABLE}

    @property
    def is_in_work(self) -> bool:
        return self.state == OperationState.IN_WORK

    @property
    def open_checkpoints(self) -> tuple[CheckpointStanding, ...]:
        if self.state == OperationState.NOT_APPLICABLE:
            return ()
        return tuple(c for c in self.checkpoints if not c.is_closed)

    @property
    def closed_count(self) -> int:
        return len(self.checkpoints) - len(self.open_checkpoints)

    def does(self, flag: str) -> bool:
        return self.operation.does(flag)

    def find(self, code: str) -> CheckpointStanding | None:
        return next((c for c in self.checkpoints if c.code == code), None)


@dataclass(frozen=True)
class JobRecord:
    """Everything that is known of one job."""

    job: Job
    operations: tuple[OperationStanding, ...]
    authorities: tuple[Authority, ...]
    overrides: tuple[Override, ...]
    nonconformances: tuple[Nonconformance, ...]
    kit: OrderStanding
    settings: ShopSettings
    last_entries: Mapping[str, UUID]
    starters: Mapping[str, frozenset[int]]

    @classmethod
    def load(cls, job: Job) -> "JobRecord":
        """Everything of `job`, in a number of queries that does not hang on its size."""
        entries = _entries(job.stream)
        return cls(
            job=job,
            operations=_operations(job),
            authorities=tuple(job.authorities.all()),
            overrides=tuple(job.overrides.select_related("job_operation__operation", "person")),
            nonconformances=tuple(
                job.nonconformances.select_related(
                    "job_operation__operation", "result__checkpoint", "opened_by", "disposition_by", "second"
                )
            ),
            kit=reconcile(job.kit_order),
            settings=ShopSettings.current(),
            last_entries={subject: pk for pk, subject, _kind, _signer in entries},
            starters=_starters(entries),
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

    def find(self, code: str) -> OperationStanding | None:
        return next((o for o in self.operations if o.code == code), None)

    def find_checkpoint(self, code: str) -> CheckpointStanding | None:
        return next((c for c in self.checkpoints if c.code == code), None)

    def awaits_witness(self, standing: CheckpointStanding) -> bool:
        """Whether a second person has still to read this: until then nobody is shown the first reading."""
        return standing.current is not None and any(
            c.checkpoint.witness_of == standing.code and not c.is_closed for c in self.checkpoints
        )

    def position_of(self, standing: CheckpointStanding) -> int:
        return standing.job_operation.position

    def earlier(self, operation: OperationStanding) -> tuple[OperationStanding, ...]:
        return tuple(o for o in self.operations if o.position < operation.position)

    def saw(self, subject: str) -> UUID | None:
        """What somebody who looks now has seen of a subject."""
        return self.last_entries.get(subject)

    def workers(self, code: str) -> frozenset[int]:
        """Who did the work of an operation: started it or recorded a reading of their own work."""
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

        Starting hot work counts, and so does whatever is recorded in it but permit and fire watch:
        rather too late a beginning of the watch than too early.
        """
        times = [
            time
            for o in self.operations
            if o.position <= up_to and o.does(Flag.HOT_WORK)
            for time in _hot_times(o)
        ]
        return max(times, default=None)

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


def _operations(job: Job) -> tuple[OperationStanding, ...]:
    """The operations of a job in three queries: operations, checkpoints, results with what hangs on them."""
    job_operations = list(job.operations.select_related("operation").order_by("position"))
    results: dict[tuple[int, int], list[Result]] = defaultdict(list)
    for result in (
        Result.objects.filter(job_operation__job=job)
        .select_related(
            "person", "instrument", "angle_instrument", "reopening", "acceptance__person", "acceptance__second"
        )
        .order_by("pk")
    ):
        results[result.job_operation_id, result.checkpoint_id].append(result)
    checkpoints: dict[int, list[Checkpoint]] = defaultdict(list)
    for checkpoint in Checkpoint.objects.filter(
        operation__in=[o.operation_id for o in job_operations]
    ).order_by("position"):
        checkpoints[checkpoint.operation_id].append(checkpoint)
    return tuple(
        OperationStanding(
            o,
            o.operation,
            tuple(
                CheckpointStanding(c, o, tuple(results[o.pk, c.pk])) for c in checkpoints[o.operation_id]
            ),
        )
        for o in job_operations
    )


def _entries(stream: str) -> list[tuple[UUID, str, str, int]]:
    return list(
        Entry.objects.filter(stream=stream, outcome=Outcome.ACCEPTED)
        .order_by("position")
        .values_list("pk", "subject", "kind", "signer_id")
    )


def _starters(entries: list[tuple[UUID, str, str, int]]) -> dict[str, frozenset[int]]:
    starters: dict[str, set[int]] = defaultdict(set)
    for _pk, subject, kind, signer in entries:
        if kind == "start":
            starters[subject].add(signer)
    return {subject: frozenset(people) for subject, people in starters.items()}

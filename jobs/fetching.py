"""Fetching all that is known of jobs, in a number of queries that hangs neither on their number nor size."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass, field
from itertools import chain
from typing import TypeVar
from uuid import UUID

from django.db import models

from jobs.models import (
    Authority,
    Checkpoint,
    Deviation,
    ExtraWork,
    FoundWork,
    Job,
    JobOperation,
    Nonconformance,
    Omission,
    Override,
    PlannedOperation,
    PlanState,
    Result,
    RevisionDecision,
)
from jobs.standing import CheckpointStanding, OperationStanding
from jobs.superseded import Superseded, decisions_of, superseded_of
from parts.models import KitDecision, KitOrder
from parts.newer_lists import NewerList, kit_decisions, newer_lists
from parts.reconciling import reconcile_many
from parts.standing import OrderStanding
from shop.models import Entry, Outcome, Person, SignedHow
from shop.prepared import Prepared

Row = TypeVar("Row", bound=models.Model)


@dataclass(frozen=True)
class EntryMark:
    """That an entry was accepted: what it was about, of which kind, signed by whom."""

    id: UUID
    subject: str
    kind: str
    signer_id: int
    signed_how: str
    at: dt.datetime


@dataclass(frozen=True)
class PlannedTimes:
    """What the plan in force says of one job: when each operation begins, by its key; when all is done."""

    starts: dict[int, dt.datetime] = field(default_factory=dict)
    ready: dt.datetime | None = None


NO_PLAN = PlannedTimes()
PLANNED = Prepared(
    lambda jobs: (
        PlannedOperation.objects.filter(plan__state=PlanState.IN_FORCE, job_operation__job__pk__in=jobs)
        .order_by("pk")
        .values_list("job_operation__job_id", "job_operation_id", "part", "starts_at", "ends_at")
    )
)


@dataclass(frozen=True)
class Fetched:
    """The rows of several jobs, each by the key of its job; of kits by the order, entries by the stream."""

    operations: dict[int, tuple[OperationStanding, ...]]
    authorities: dict[int, tuple[Authority, ...]]
    overrides: dict[int, tuple[Override, ...]]
    nonconformances: dict[int, tuple[Nonconformance, ...]]
    extra_works: dict[int, tuple[ExtraWork, ...]]
    found_works: dict[int, tuple[FoundWork, ...]]
    deviations: dict[int, tuple[Deviation, ...]]
    omissions: dict[int, tuple[Omission, ...]]
    kits: dict[int, OrderStanding]
    planned: dict[int, PlannedTimes] = field(default_factory=dict)
    decisions: dict[int, tuple[RevisionDecision, ...]] = field(default_factory=dict)
    superseded: dict[int, Superseded] = field(default_factory=dict)
    newer_lists: dict[int, NewerList] = field(default_factory=dict)
    kit_decisions: dict[int, tuple[KitDecision, ...]] = field(default_factory=dict)
    entries: dict[str, tuple[EntryMark, ...]] = field(default_factory=dict)


def fetch(jobs: Sequence[Job]) -> Fetched:
    """Everything of `jobs` but what they carry themselves."""
    keys = [job.pk for job in jobs]
    orders = list(KitOrder.objects.with_kit().filter(job__in=keys))
    deviations = _deviations(keys)
    entries = entries_of([job.stream for job in jobs])
    operations = _operations(keys, deviations)
    decisions = decisions_of(keys)
    _tell_typed_in(chain.from_iterable(operations.values()), chain.from_iterable(entries.values()))
    return Fetched(
        operations=operations,
        deviations=_by_job(deviations),
        omissions=_by_job_of_operation(
            Omission.objects.filter(job_operation__job__in=keys).select_related(
                "job_operation__operation", "person", "second"
            )
        ),
        authorities=_by_job(Authority.objects.filter(job__in=keys).select_related("estimate")),
        overrides=_by_job(
            Override.objects.filter(job__in=keys).select_related("job_operation__operation", "person")
        ),
        nonconformances=_by_job(_nonconformances(keys)),
        extra_works=_by_job(
            ExtraWork.objects.filter(job__in=keys).select_related("job_operation__operation", "asked_by")
        ),
        found_works=_by_job_of_operation(
            FoundWork.objects.filter(job_operation__job__in=keys).select_related(
                "job_operation__operation", "found_by", "left_by", "extra_work"
            )
        ),
        kits=reconcile_many(orders),
        planned=planned_of(keys),
        decisions=decisions,
        superseded=superseded_of(jobs, decisions),
        newer_lists=newer_lists(orders),
        kit_decisions=kit_decisions(orders),
        entries=entries,
    )


def planned_of(jobs: Sequence[int]) -> dict[int, PlannedTimes]:
    """What the plan in force has of these jobs, in one query."""
    starts: dict[int, dict[int, dt.datetime]] = defaultdict(dict)
    ready: dict[int, dt.datetime] = {}
    for job, operation, part, begins, ends in PLANNED.all(jobs=jobs) if jobs else ():
        if not part:
            starts[job].setdefault(operation, begins)
        ready[job] = max(ready.get(job, ends), ends)
    return {job: PlannedTimes(starts[job], at) for job, at in ready.items()}


def _deviations(jobs: Sequence[int]) -> list[Deviation]:
    rows = Deviation.objects.filter(job__in=jobs).select_related(
        "job_operation__operation", "checkpoint", "person", "second", "withdrawn_by"
    )
    return list(rows)


def _nonconformances(jobs: Sequence[int]) -> "models.QuerySet[Nonconformance]":
    return Nonconformance.objects.filter(job__in=jobs).select_related(
        "job_operation__operation",
        "checkpoint",
        "result__checkpoint",
        "opened_by",
        "disposition_by",
        "second",
    )


def _by_job_of_operation(rows: "Iterable[Row]") -> dict[int, tuple[Row, ...]]:
    found: dict[int, list[Row]] = defaultdict(list)
    for row in rows:
        found[row.job_operation.job_id].append(row)  # type: ignore[attr-defined]
    return {key: tuple(of_job) for key, of_job in found.items()}


def _by_job(rows: "Iterable[Row]") -> dict[int, tuple[Row, ...]]:
    found: dict[int, list[Row]] = defaultdict(list)
    for row in rows:
        found[row.job_id].append(row)  # type: ignore[attr-defined]
    return {key: tuple(of_job) for key, of_job in found.items()}


def _operations(
    jobs: Sequence[int], deviations: Sequence[Deviation]
) -> dict[int, tuple[OperationStanding, ...]]:
    """In three queries: operations, checkpoints, results with what hangs on them."""
    job_operations = list(
        JobOperation.objects.filter(job__in=jobs)
        .select_related(
            "operation__revision", "addition__extra_work", "addition__person", "addition__copy_of"
        )
        .order_by("job", "position")
    )
    checkpoints = _checkpoints({o.operation_id for o in job_operations})
    results = _results(jobs)
    changed = {(d.job_operation_id, d.checkpoint_id): d for d in deviations if d.is_in_force}
    found: dict[int, list[OperationStanding]] = defaultdict(list)
    for o in job_operations:
        standings = tuple(
            _standing(c, o, results[o.pk, c.pk], changed.get((o.pk, c.pk)))
            for c in checkpoints[o.operation_id]
        )
        found[o.job_id].append(OperationStanding(o, o.operation, standings))
    return {key: tuple(operations) for key, operations in found.items()}


def _standing(
    checkpoint: Checkpoint, operation: JobOperation, results: list[Result], deviation: Deviation | None
) -> CheckpointStanding:
    if deviation is not None:
        checkpoint = _as_deviated(checkpoint, deviation)
    for result in results:
        result.checkpoint, result.job_operation = checkpoint, operation
    return CheckpointStanding(checkpoint, operation, tuple(results), deviation)


def _as_deviated(checkpoint: Checkpoint, deviation: Deviation) -> Checkpoint:
    """A checkpoint as it holds for one car; whoever judges, shows or prints it sees the deviation's limit."""
    for_this_car = copy(checkpoint)
    for_this_car.procedure_limits = (checkpoint.limit, checkpoint.equal)  # type: ignore[attr-defined]
    for_this_car.limit = deviation.limit or checkpoint.limit
    for_this_car.equal = deviation.equal or checkpoint.equal
    return for_this_car


def _checkpoints(operations: set[int]) -> dict[int, list[Checkpoint]]:
    found: dict[int, list[Checkpoint]] = defaultdict(list)
    rows = Checkpoint.objects.filter(operation__in=operations)
    decided = rows.select_related("judging__person", "judging__second")
    for checkpoint in decided.order_by("position"):
        found[checkpoint.operation_id].append(checkpoint)
    return found


def _results(jobs: Sequence[int]) -> dict[tuple[int, int], list[Result]]:
    return results_of(models.Q(job_operation__job__in=jobs))


def results_of(which: models.Q) -> dict[tuple[int, int], list[Result]]:
    """Results with all that hangs on them, the oldest first, by operation of the job and checkpoint."""
    found: dict[tuple[int, int], list[Result]] = defaultdict(list)
    rows = Result.objects.filter(which).select_related(
        "person",
        "instrument",
        "angle_instrument",
        "reopening__entry__signer",
        "acceptance__person",
        "acceptance__second",
    )
    for result in rows.order_by("pk"):
        found[result.job_operation_id, result.checkpoint_id].append(result)
    return found


def entries_of(streams: Sequence[str]) -> dict[str, tuple[EntryMark, ...]]:
    """Every accepted entry of each stream, in order."""
    found: dict[str, list[EntryMark]] = defaultdict(list)
    rows = Entry.objects.filter(stream__in=streams, outcome=Outcome.ACCEPTED).order_by("stream", "position")
    columns = ("stream", "pk", "subject", "kind", "signer_id", "signed_how", "entered_at", "received_at")
    for stream, pk, subject, kind, signer, how, entered, received in rows.values_list(*columns):
        at = entered if how == SignedHow.PAPER else received
        found[stream].append(EntryMark(pk, subject, kind, signer, how, at))
    return {stream: tuple(marks) for stream, marks in found.items()}


def mark_of(entry: Entry) -> EntryMark:
    """An accepted entry as a record has it."""
    at = entry.entered_at if entry.signed_how == SignedHow.PAPER else entry.received_at
    return EntryMark(entry.pk, entry.subject, entry.kind, entry.signer_id, entry.signed_how, at)


def _tell_typed_in(operations: Iterable[OperationStanding], marks: Iterable[EntryMark]) -> None:
    """Tell results that were written by hand who typed them in. Mostly there is none: nothing is asked."""
    written = [mark.id for mark in marks if mark.signed_how == SignedHow.PAPER]
    if not written:
        return
    typists = dict(Entry.objects.filter(pk__in=written).values_list("pk", "payload__typed_by"))
    names = Person.objects.in_bulk([key for key in typists.values() if isinstance(key, int)])
    for result in (r for o in operations for c in o.checkpoints for r in c.results):
        typist = typists.get(result.entry_id)
        result.typed_in = str(names[typist]) if typist in names else ""

"""A job's record kept from entry to entry while its car is taken along: only what changed is read anew.

Every change writes an event that names its rows. So the events since the last look say what to read
again; whatever they name that is not known here has all of it read anew.
"""

import json
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import replace

from django.db.models import Q

from jobs.fetching import EntryMark, Fetched, fetch, results_of
from jobs.models import Job, JobOperation, Result
from jobs.record import JobRecord
from jobs.standing import CheckpointStanding, OperationStanding
from shop.models import Entry, Event, Outcome, ShopSettings, StreamHead

# Rows that a loaded record does not hold, or that whoever asks for it has read already.
NOT_HELD = frozenset(
    {
        "shop.entry",
        "jobs.photo",
        "jobs.job",
        "jobs.bookedtime",
        "jobs.cautionseen",
        "jobs.worknote",
        "jobs.lotuse",
        "jobs.weldmade",
        "jobs.conditionmark",
        "jobs.conditionreport",
    }
)
READ_ANEW = frozenset({"jobs.joboperation", "jobs.result", "jobs.reopening", "jobs.acceptance"})

Named = Mapping[str, set[str]]


class KeptRecord:
    """To be given to the door as its way to load the record of one job."""

    def __init__(self) -> None:
        self._fetched: Fetched | None = None
        self._heads: dict[str, int] = {}

    def __call__(self, job: Job) -> JobRecord:
        self._fetched = self._read(job)
        return JobRecord.of(job, self._fetched, ShopSettings.current())

    def _read(self, job: Job) -> Fetched:
        before, self._heads = self._heads, _heads(job)
        own = job.stream
        others_moved = {**before, own: 0} != {**self._heads, own: 0}
        if self._fetched is None or others_moved:
            return fetch([job])
        named = _rows_named(own, after=before.get(own, 0))
        if not named.keys() <= NOT_HELD | READ_ANEW:
            return fetch([job])
        operations = _operations_anew(self._fetched.operations[job.pk], named)
        known = self._fetched.entries.get(own, ())
        entries = (*known, *_entries_named(own, named))
        return replace(self._fetched, operations={job.pk: operations}, entries={own: entries})


def _heads(job: Job) -> dict[str, int]:
    """How far the streams are of which a job's record is read."""
    streams = [job.stream, job.kit_order.stream]
    return dict(StreamHead.objects.filter(stream__in=streams).values_list("stream", "sequence"))


def _rows_named(stream: str, *, after: int) -> Named:
    """The rows that the events of a stream name after one of them, by their model."""
    named: dict[str, set[str]] = defaultdict(set)
    events = Event.objects.filter(stream=stream, sequence__gt=after).order_by()
    for payload in events.values_list("payload", flat=True):
        told = json.loads(bytes(payload))
        for row in [*told["rows"], *told["removed"]]:
            model, _colon, key = row.partition(":")
            named[model].add(key)
    return named


def _entries_named(stream: str, named: Named) -> Iterator[EntryMark]:
    """The entries that are new and were accepted, in order."""
    rows = Entry.objects.filter(stream=stream, pk__in=named.get("shop.entry", ()), outcome=Outcome.ACCEPTED)
    columns = ("pk", "subject", "kind", "signer_id", "signed_how", "received_at")
    for mark in rows.order_by("position").values_list(*columns):
        yield EntryMark(*mark)


def _operations_anew(kept: tuple[OperationStanding, ...], named: Named) -> tuple[OperationStanding, ...]:
    rows = JobOperation.objects.filter(pk__in=named.get("jobs.joboperation", ())).select_related("operation")
    changed = {row.pk: row for row in rows}
    results = {result.pk: result for found in _results_named(named).values() for result in found}
    touched = {result.job_operation_id for result in results.values()} | changed.keys()
    return tuple(
        _anew(standing, changed.get(standing.job_operation.pk), results)
        if standing.job_operation.pk in touched
        else standing
        for standing in kept
    )


def _results_named(named: Named) -> dict[tuple[int, int], list[Result]]:
    """The results that are new, were opened again or accepted."""
    if not named.keys() & {"jobs.reopening", "jobs.acceptance"}:
        return _new_results(named.get("jobs.result", set()))
    which = Q(pk__in=named.get("jobs.result", ()))
    for model in ("reopening", "acceptance"):
        if keys := named.get(f"jobs.{model}"):
            which |= Q(**{f"{model}__pk__in": keys})
    return results_of(which)


def _new_results(keys: set[str]) -> dict[tuple[int, int], list[Result]]:
    """Results that nothing hangs on yet; said so, it is not asked for."""
    found: dict[tuple[int, int], list[Result]] = defaultdict(list)
    if keys:
        rows = Result.objects.filter(pk__in=keys).select_related("person", "instrument", "angle_instrument")
        for result in rows.order_by("pk"):
            for relation in ("reopening", "acceptance"):
                result._state.fields_cache[relation] = None
            found[result.job_operation_id, result.checkpoint_id].append(result)
    return found


def _anew(
    standing: OperationStanding, changed: JobOperation | None, results: Mapping[int, Result]
) -> OperationStanding:
    row = changed or standing.job_operation
    checkpoints = tuple(_with_results(c, row, results) for c in standing.checkpoints)
    return replace(standing, job_operation=row, checkpoints=checkpoints)


def _with_results(
    kept: CheckpointStanding, row: JobOperation, results: Mapping[int, Result]
) -> CheckpointStanding:
    own = {r.pk: r for r in results.values() if (r.job_operation_id, r.checkpoint_id) == _place(kept)}
    for result in own.values():
        result.checkpoint, result.job_operation = kept.checkpoint, row
    found = {r.pk: r for r in kept.results} | own
    return replace(kept, job_operation=row, results=tuple(found[key] for key in sorted(found)))


def _place(standing: CheckpointStanding) -> tuple[int, int]:
    return standing.job_operation.pk, standing.checkpoint.pk

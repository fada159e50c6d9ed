"""Records of jobs kept in a process from one look to the next: only what changed is read anew.

Every change writes an event that names its rows. So the events since the last look say what to read again;
what they name and is not known here, or an event that names nothing, has all of it read anew. What a car
hangs on beside its own stream (its kit order, people and settings, procedures, instruments) is kept only
while the ends of those streams are where they were. Nothing is kept by time, and nothing that is kept is
handed out: each look gets rows of its own, so that what is done to them, or taken back, is met by nobody.
"""

import json
from collections import OrderedDict, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from threading import Lock
from typing import Any
from uuid import UUID

from django.db.models import Q

from jobs.fetching import EntryMark, Fetched, fetch, mark_of, planned_of, results_of
from jobs.models import Job, JobOperation, Result
from jobs.record import JobRecord
from jobs.row_copies import copy_of
from jobs.standing import CheckpointStanding, OperationStanding
from jobs.superseded import superseded_of
from shop.freshness import heads_with_shared
from shop.models import Entry, Event, Outcome, ShopSettings, SignedHow
from shop.prepared import Prepared

# Rows that a loaded record does not hold, or that whoever asks for it has read already.
NOT_HELD = frozenset(
    {
        "shop.entry",
        "shop.document",
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
MOST_JOBS = 64
# So many events at once are a car taken along, or a restored record: the whole is as quick.
MOST_EVENTS = 100
# As many as an entry or two write.
FEW_EVENTS = 8


def _newest(most: int) -> Prepared[tuple[Any, ...]]:
    return Prepared(
        lambda stream: (
            Event.objects.filter(stream=stream).order_by("-sequence").values_list("hash", "payload")[:most]
        )
    )


NEWEST, NEWEST_FEW = _newest(MOST_EVENTS), _newest(FEW_EVENTS)
ENTRIES = Prepared(
    lambda stream, keys: (
        Entry.objects.filter(stream=stream, pk__in=keys, outcome=Outcome.ACCEPTED)
        .defer("payload", "personal", "answer", "digest")
        .order_by("position")
    )
)
NEW_RESULTS = Prepared(
    lambda keys: (
        Result.objects.filter(pk__in=keys)
        .select_related("person", "instrument", "angle_instrument")
        .order_by("pk")
    )
)
Named = Mapping[str, set[str]]


@dataclass(frozen=True)
class Ends:
    """Where the streams were that a record was read from."""

    own: str
    others: Mapping[str, str]


@dataclass(frozen=True)
class Kept:
    """What was fetched of one job, and where its streams were just before."""

    fetched: Fetched
    ends: Ends


class KeptRecords:
    """The records of the jobs that this process looked at last."""

    def __init__(self) -> None:
        self._kept: OrderedDict[int, Kept] = OrderedDict()
        self._lock = Lock()

    def clear(self) -> None:
        with self._lock:
            self._kept.clear()

    def load(self, job: Job, *, entry: Entry | None = None) -> JobRecord:
        """The record as it is now. `job` comes as just read, with its kit order and revision.

        Args:
            entry: the one that is being recorded, inside of its transaction; it counts as made, and is not
                kept, since it may still be refused.
        """
        ends = _ends(job)
        with self._lock:
            kept = self._kept.get(job.pk)
        fetched = _advanced(job, kept, ends) if kept is not None else None
        if fetched is None:
            fetched = _without(fetch([job]), job, entry)
        with self._lock:
            self._kept[job.pk] = Kept(fetched, ends)
            self._kept.move_to_end(job.pk)
            while len(self._kept) > MOST_JOBS:
                self._kept.popitem(last=False)
        own = copy_of(fetched)
        if entry is not None:
            own = replace(own, entries={job.stream: (*own.entries.get(job.stream, ()), mark_of(entry))})
        return JobRecord.of(job, own, ShopSettings.current())


KEPT_RECORDS = KeptRecords()


def _ends(job: Job) -> Ends:
    """In one query; before whatever is read, so that what comes meanwhile is read again."""
    heads = heads_with_shared([job.stream, job.kit_order.stream])
    return Ends(heads.pop(job.stream, ""), heads)


def _without(fetched: Fetched, job: Job, entry: Entry | None) -> Fetched:
    if entry is None:
        return fetched
    marks = tuple(mark for mark in fetched.entries.get(job.stream, ()) if mark.id != entry.id)
    return replace(fetched, entries={job.stream: marks})


def _advanced(job: Job, kept: Kept, ends: Ends) -> Fetched | None:
    """What was kept with all that came since; None where it has to be read whole."""
    fetched = kept.fetched
    if kept.ends.others != ends.others or fetched.decisions:
        return None
    planned = planned_of([job.pk])
    if kept.ends.own == ends.own:
        return replace(fetched, planned=planned)
    named = _rows_named(job.stream, kept.ends.own)
    if named is None or not named.keys() <= NOT_HELD | READ_ANEW:
        return None
    marks = list(_entries_named(job.stream, named))
    if any(mark.signed_how == SignedHow.PAPER for mark in marks):
        return None
    known = fetched.entries.get(job.stream, ())
    seen = {mark.id for mark in known[-len(named.get("shop.entry", ())) - MOST_EVENTS :]}
    return replace(
        fetched,
        operations={job.pk: _operations_anew(fetched.operations.get(job.pk, ()), named)},
        entries={job.stream: (*known, *(mark for mark in marks if mark.id not in seen))},
        superseded=superseded_of([job], {}) if "jobs.job" in named else fetched.superseded,
        planned=planned,
    )


def _rows_named(stream: str, since: str) -> Named | None:
    """The rows that the events of a stream name after the one with that hash, by their model.

    None where they do not tell: the chain has no such event, there are too many, or one names nothing.
    """
    named: dict[str, set[str]] = defaultdict(set)
    newest = NEWEST_FEW.all(stream=stream)
    if all(told_hash != since for told_hash, _payload in newest):
        newest = NEWEST.all(stream=stream)
    for told_hash, payload in newest:
        if told_hash == since:
            return named
        told = json.loads(bytes(payload))
        rows = [*told["rows"], *told["removed"]]
        if not rows:
            return None
        for row in rows:
            model, _colon, key = row.partition(":")
            named[model].add(key)
    return None


def _entries_named(stream: str, named: Named) -> Iterator[EntryMark]:
    """The entries that are new and were accepted, in order."""
    keys = [UUID(key) for key in named.get("shop.entry", ())]
    for entry in ENTRIES.all(stream=stream, keys=keys) if keys else ():
        yield mark_of(entry)


def _operations_anew(kept: tuple[OperationStanding, ...], named: Named) -> tuple[OperationStanding, ...]:
    results = {result.pk: result for found in _results_named(named).values() for result in found}
    changed = _job_operations_named(named)
    touched = {result.job_operation_id for result in results.values()} | changed.keys()
    return tuple(
        _anew(standing, changed.get(standing.job_operation.pk), results)
        if standing.job_operation.pk in touched
        else standing
        for standing in kept
    )


def _job_operations_named(named: Named) -> dict[int, JobOperation]:
    keys = named.get("jobs.joboperation")
    if not keys:
        return {}
    rows = JobOperation.objects.filter(pk__in=keys).select_related(
        "operation__revision", "addition__extra_work", "addition__person", "addition__copy_of"
    )
    return {row.pk: row for row in rows}


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
        for result in NEW_RESULTS.all(keys=map(int, keys)):
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

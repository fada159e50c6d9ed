"""What a car waits for: each thing in words, at whom it stands, and where it is cleared. No queries."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.gates.conditions import reasons_against_finishing, reasons_against_starting, reasons_against_work
from jobs.gates.kit_list import list_undecided
from jobs.gates.revision import revision_undecided
from jobs.gates.words import shortage
from jobs.models import CheckpointKind, Nonconformance, OperationState, Proves
from jobs.reasons import NOBODY, Reason
from jobs.record import CheckpointStanding, CheckState, JobRecord, OperationStanding


class What(StrEnum):
    """Kinds of waiting. Only the first three stop a car."""

    PROBLEM = "problem"
    GATE = "gate"
    PART = "part"
    WITNESS = "witness"
    WELD = "weld"
    TOO_CLOSE = "too_close"
    HOLD_POINT = "hold_point"
    FOUND = "found"
    REVISION = "revision"


STOPPING = frozenset({What.PROBLEM, What.GATE, What.PART})


@dataclass(frozen=True)
class Wait:
    """One thing that a car waits for; `operation` and `at` say where on the desk it is cleared.

    `page` is the address where it is cleared instead, for what is about the whole car.
    """

    what: What
    text: str
    operation: OperationStanding
    at: str
    clear: str = ""
    since: dt.datetime | None = None
    nonconformance: Nonconformance | None = None
    code: str = ""
    page: str = ""

    @property
    def is_shortage(self) -> bool:
        return self.code.startswith(("short:", "risk:"))

    @property
    def stops(self) -> bool:
        return self.what in STOPPING


def waits_of(record: JobRecord, *, now: dt.datetime) -> tuple[Wait, ...]:
    """Everything that a car waits for, what stops it first."""
    if record.job.is_released:
        return ()
    return (
        *_problems(record),
        *_revision(record),
        *_kit_list(record),
        *_gates(record, now),
        *_taken_away(record),
        *(w for o in record.operations if o.is_in_work or o is record.in_hand for w in _looks(record, o)),
        *_hold_points(record, now),
        *_found(record),
    )


def reasons_in_hand(record: JobRecord, *, now: dt.datetime) -> list[Reason]:
    """What stands against going on with the operation in hand."""
    operation = record.in_hand
    if operation is None or record.job.is_released:
        return []
    if operation.state == OperationState.WAITING:
        return reasons_against_starting(record, operation, now=now)
    return reasons_against_work(record, operation, now=now)


def is_welding_done(record: JobRecord, standing: CheckpointStanding) -> bool:
    """Whether the welds that are to be judged have been made: their operation is finished."""
    made_in = record.find(standing.checkpoint.made_in)
    return made_in is None or made_in.is_done or made_in.find(standing.code) is not None


def _problems(record: JobRecord) -> Iterator[Wait]:
    for row in record.open_nonconformances:
        operation = record.find(row.job_operation.operation.code)
        if operation is None:
            continue
        if not row.disposition:
            clear = _("A lead decides what is done about it")
        elif row.checkpoint is not None:
            clear = _("%(what)s, then %(code)s is read again") % {
                "what": row.get_disposition_display(),
                "code": row.checkpoint.code,
            }
        else:
            clear = _("%(what)s, then a lead looks at it") % {"what": row.get_disposition_display()}
        yield Wait(
            What.PROBLEM,
            _("Nonconformance %(number)d: %(text)s") % {"number": row.number, "text": _what_is_wrong(row)},
            operation,
            f"nonconformance-{row.number}",
            clear,
            row.opened_at,
            row,
        )


def _revision(record: JobRecord) -> Iterator[Wait]:
    """A newer revision about which nobody has decided for this car."""
    operation = record.in_hand or next(reversed(record.operations), None)
    if record.superseded is not None and operation is not None:
        reason = revision_undecided(record.superseded)
        since = record.superseded.new.released_at
        page = decision_page(record, reason)
        yield Wait(
            What.REVISION, reason.text, operation, "", reason.clear, since, code=reason.code, page=page
        )


def _kit_list(record: JobRecord) -> Iterator[Wait]:
    """A newer kit list about which nobody has decided for this car."""
    operation = record.in_hand or next(reversed(record.operations), None)
    if record.newer_list is not None and operation is not None:
        reason = list_undecided(record.newer_list)
        since, page = record.newer_list.new.released_at, decision_page(record, reason)
        yield Wait(
            What.REVISION, reason.text, operation, "", reason.clear, since, code=reason.code, page=page
        )


def decision_page(record: JobRecord, reason: Reason) -> str:
    """Where it is decided about a newer revision or kit list; empty for what is cleared elsewhere."""
    if reason.code.startswith("revision:"):
        return reverse("jobs:job_revision", args=[record.job.number])
    if reason.code.startswith("kit_revision:"):
        return reverse("parts:order_revision", args=[record.kit.number])
    return ""


def _what_is_wrong(row: Nonconformance) -> str:
    """In a line: the checkpoint that does not conform, else what somebody wrote."""
    if row.result is None:
        return row.text
    checkpoint = row.result.checkpoint
    return _("%(code)s %(title)s does not conform") % {"code": checkpoint.code, "title": checkpoint.title}


def _gates(record: JobRecord, now: dt.datetime) -> Iterator[Wait]:
    operation = record.in_hand
    if operation is None:
        return
    for reason in reasons_in_hand(record, now=now):
        if not _is_next_step(operation, reason):
            page = decision_page(record, reason)
            yield Wait(
                What.GATE, reason.text, operation, reason.where, reason.clear, code=reason.code, page=page
            )


def _taken_away(record: JobRecord) -> Iterator[Wait]:
    """Parts of operations in work that are missing now: counted as here when work began, not any more."""
    for operation in record.operations if record.kit.is_counted else ():
        for line in record.kit.shortages_for([operation.code]) if operation.is_in_work else ():
            reason = shortage(line, NOBODY)
            if not record.is_set_aside(operation, reason):
                text = _("%(text)s, and %(code)s has started") % {"text": reason.text, "code": operation.code}
                yield Wait(What.PART, text, operation, reason.where, reason.clear, code=reason.code)


def _is_next_step(operation: OperationStanding, reason: Reason) -> bool:
    """A permit that lies inside the operation in work is its first step, not a wait."""
    standing = operation.find(reason.where)
    return operation.is_in_work and standing is not None and standing.proves(Proves.PERMIT)


def _looks(record: JobRecord, operation: OperationStanding) -> Iterator[Wait]:
    """What an operation in hand waits for from somebody other than whoever works on it."""
    for standing in operation.checkpoints:
        words = {"code": standing.code, "title": standing.checkpoint.title}
        if standing.state == CheckState.TOO_CLOSE and standing.current is not None:
            text = _("%(code)s %(title)s is too close to call") % words
            since = standing.current.recorded_at
            yield Wait(What.TOO_CLOSE, text, operation, standing.code, "", since)
        elif standing.is_closed or standing.state == CheckState.DOES_NOT_CONFORM:
            continue
        elif standing.checkpoint.kind == CheckpointKind.WITNESS:
            first = record.find_checkpoint(standing.checkpoint.witness_of)
            if first is not None and first.current is not None:
                text = _("%(code)s %(title)s waits for a second person") % words
                yield Wait(What.WITNESS, text, operation, standing.code, "", first.current.recorded_at)
        elif standing.checkpoint.kind == CheckpointKind.WELD and is_welding_done(record, standing):
            text = _("%(code)s %(title)s waits to be judged") % words
            yield Wait(What.WELD, text, operation, standing.code, "", operation.job_operation.started_at)


def _hold_points(record: JobRecord, now: dt.datetime) -> Iterator[Wait]:
    for operation in record.operations:
        ready = operation.is_in_work and operation.operation.is_hold_point
        if ready and not reasons_against_finishing(record, operation, now=now):
            text = _("Hold point %(code)s %(title)s is ready to be passed") % {
                "code": operation.code,
                "title": operation.operation.title,
            }
            last = max((r.recorded_at for c in operation.checkpoints for r in c.results), default=None)
            yield Wait(What.HOLD_POINT, text, operation, "finish", "", last)


def _found(record: JobRecord) -> Iterator[Wait]:
    """What was met at the car and no desk has priced yet."""
    for row in record.found_works:
        operation = record.find(row.job_operation.operation.code)
        if operation is not None and row.is_waiting:
            text = _("Work found at %(code)s: %(text)s") % {"code": operation.code, "text": row.text[:120]}
            clear = _("Price it and ask the customer")
            yield Wait(What.FOUND, text, operation, f"found-{row.number}", clear, row.found_at)

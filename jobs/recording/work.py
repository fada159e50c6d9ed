"""What every handler of an entry works with, and the changes that many of them make."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import models
from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.models import (
    Checkpoint,
    Disposition,
    Job,
    JobOperation,
    Nonconformance,
    OperationState,
    Reopening,
    ReopeningCause,
    Result,
    Stands,
)
from jobs.reasons import Reason
from jobs.record import CheckpointStanding, JobRecord, OperationStanding
from shop.entries import Refused
from shop.events import append
from shop.models import Entry, Person, SignedHow


@dataclass(frozen=True)
class Work:
    """One entry being recorded: who, when, on which job, with what."""

    record: JobRecord
    subject: str
    entry: Entry
    signer: Person
    now: dt.datetime
    payload: Mapping[str, Any]

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def at(self) -> dt.datetime:
        """When the work was done: what was written by hand goes by the time on its sheet."""
        return self.entry.entered_at if self.entry.signed_how == SignedHow.PAPER else self.now

    @property
    def today(self) -> dt.date:
        return self.at.astimezone(self.record.zone).date()

    @property
    def operation(self) -> OperationStanding:
        """The operation that the entry is about; refused where the job has none of that code.

        What does not touch the evidence, such as a note, has a subject of its own under the operation's.
        """
        code = self.subject.partition("/")[0]
        found = self.record.find(code)
        if found is None:
            raise Refused(_("This job has no operation %(code)s") % {"code": code})
        return found

    def checkpoint(self, field: str = "checkpoint") -> CheckpointStanding:
        """The checkpoint named in the payload, of the operation that the entry is about."""
        code = str(self.payload.get(field, ""))
        found = self.operation.find(code)
        if found is None:
            raise Refused(
                _("Operation %(operation)s has no checkpoint %(code)s")
                % {"operation": self.subject, "code": code}
            )
        return found

    def text(self, field: str, *, what: str, most: int = 300) -> str:
        """A text that must be given."""
        given = str(self.payload.get(field, "")).strip()
        if not given:
            raise BadInput({field: what})
        if len(given) > most:
            raise BadInput(
                {
                    field: _("%(given)d characters are too many; at most %(most)d")
                    % {"given": len(given), "most": most}
                }
            )
        return given

    def tell(self, kind: str, data: Mapping[str, Any], *rows: models.Model) -> None:
        """Write the event of a change that this entry made."""
        append(
            stream=self.job.stream,
            kind=kind,
            data={"by": self.signer.pk, **data},
            now=self.now,
            entry=self.entry,
            rows=rows,
        )


def refuse_for(reasons: list[Reason], message: str) -> None:
    """Refuse an entry where there are reasons, telling all of them."""
    if reasons:
        raise Refused(message, data={"reasons": [r.as_json() for r in reasons]})


def set_state(work: Work, operation: OperationStanding, state: OperationState) -> None:
    """Move an operation of the job on, or back."""
    row = operation.job_operation
    row.state = state
    changed = ["state"]
    if state == OperationState.IN_WORK and row.started_at is None:
        row.started_at = work.at
        changed.append("started_at")
    if state == OperationState.IN_WORK and row.finished_at is not None:
        row.finished_at = None
        changed.append("finished_at")
    if state == OperationState.FINISHED:
        row.finished_at = work.now
        changed.append("finished_at")
    row.save(update_fields=changed)
    work.tell(f"operation.{state}", {"operation": operation.code}, row)


def set_stands(work: Work, stands: Stands) -> None:
    """Say where the car stands now. Setting it up or down is a move: datums and level lapse."""
    job = work.job
    if job.stands != stands:
        job.stands = stands
        job.stands_since = work.now
    job.moved_at = work.now
    job.save(update_fields=["stands", "stands_since", "moved_at"])
    work.tell("job.stands", {"stands": stands}, job)


def reopen(work: Work, result: Result, cause: ReopeningCause, reason: str = "") -> Reopening:
    """Take a result out of force. An operation that was finished is in work again."""
    reopening = Reopening.objects.create(result=result, cause=cause, reason=reason, entry=work.entry)
    work.tell(
        "result.reopened",
        {"checkpoint": result.checkpoint.code, "cause": cause, "result": result.pk},
        reopening,
    )
    operation = next(o for o in work.record.operations if o.job_operation.pk == result.job_operation_id)
    if operation.state == OperationState.FINISHED:
        set_state(work, operation, OperationState.IN_WORK)
    return reopening


def close_reworked(work: Work, standing: CheckpointStanding) -> None:
    """Close what was sent back to rework at a checkpoint that is closed again."""
    for row in work.record.open_nonconformances:
        reworked = row.disposition in {Disposition.REWORK, Disposition.SCRAP_REORDER}
        if reworked and row.checkpoint_id == standing.checkpoint.pk:
            row.closed_at = work.now
            row.save(update_fields=["closed_at"])
            work.tell("nonconformance.closed", {"number": row.number}, row)


def open_nonconformance(
    work: Work,
    *,
    job_operation: JobOperation,
    text: str,
    checkpoint: Checkpoint | None = None,
    result: Result | None = None,
) -> Nonconformance:
    """Open a nonconformance under the next number of its job."""
    taken = work.job.nonconformances.aggregate(top=models.Max("number"))["top"] or 0
    made = Nonconformance.objects.create(
        number=taken + 1,
        job=work.job,
        job_operation=job_operation,
        checkpoint=checkpoint,
        result=result,
        text=text[:500],
        opened_by=work.signer,
        opened_at=work.now,
        entry=work.entry,
    )
    work.tell("nonconformance.opened", {"number": made.number}, made)
    return made

"""What the person who looks at a job's page may do about it: the forms, each only for those allowed."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from django.urls import reverse

from jobs.desk.forms import (
    AcceptCloseForm,
    DispositionForm,
    EntryForm,
    OverrideForm,
    ReworkCheckedForm,
)
from jobs.desk.waiting import decision_page
from jobs.models import Nonconformance
from jobs.reasons import Reason
from jobs.record import CheckpointStanding, CheckState, JobRecord, OperationStanding
from shop.actions import may
from shop.models import Person, Role


@dataclass(frozen=True)
class Against:
    """A reason that stands against going on, where it is cleared, and the form to set it aside.

    `weigh` is where starting is weighed against waiting for the part, for those who may; else empty.
    """

    reason: Reason
    href: str
    override: EntryForm | None
    weigh: str = ""

    @property
    def allowed(self) -> str:
        """Who may set it aside, in words; empty where nobody may."""
        return ", ".join(str(Role(role).label) for role in sorted(self.reason.overridable_by))


@dataclass(frozen=True)
class Problem:
    """A nonconformance and the form for what a lead may do about it next."""

    row: Nonconformance
    form: EntryForm | None
    job_number: int

    @property
    def waits_for_reading(self) -> bool:
        return self.row.is_open and bool(self.row.disposition) and self.row.checkpoint is not None


def against(
    record: JobRecord, operation: OperationStanding, reasons: Iterable[Reason], *, viewer: Person
) -> tuple[Against, ...]:
    """The reasons against an operation, as `viewer` sees them."""
    return tuple(
        Against(
            reason,
            href_of(record, reason, viewer=viewer),
            OverrideForm(record, operation.code, key=str(n), initial={"p_reason_code": reason.code})
            if viewer.role in reason.overridable_by
            else None,
            _weigh(record, reason, viewer),
        )
        for n, reason in enumerate(reasons, start=1)
    )


def _weigh(record: JobRecord, reason: Reason, viewer: Person) -> str:
    """A part that would leave the car standing: starting, waiting, or another car first."""
    if reason.code.startswith("risk:") and may(viewer.role, "jobs:plan_start"):
        return reverse("jobs:plan_start", args=[record.job.number])
    return ""


def href_of(record: JobRecord, reason: Reason, *, viewer: Person) -> str:
    """Where a reason is cleared: at an operation or checkpoint, where it is decided, or on the job's page.

    Empty where the viewer may not go there.
    """
    number = record.job.number
    operation = record.find(reason.where.split(".")[0]) if reason.where else None
    if page := decision_page(record, reason):
        return page
    if reason.code.startswith(("short:", "risk:", "kit_not_counted")):
        return reverse("jobs:job", args=[number]) + "#kit"
    if reason.code.startswith("extra_work:"):
        money = reverse("jobs:money", args=[number]) + "#extra-work"
        return money if may(viewer.role, "jobs:money") else ""
    if operation is not None:
        anchor = f"#{reason.where}" if operation.find(reason.where) else ""
        return reverse("jobs:job_operation", args=[number, operation.code]) + anchor
    section = "#authority" if reason.code == "authority" else "#nonconformances"
    return reverse("jobs:job", args=[number]) + section


def problems(record: JobRecord, rows: Iterable[Nonconformance], *, viewer: Person) -> tuple[Problem, ...]:
    """Nonconformances, the open ones first, each with what a lead can do about it."""
    ordered = sorted(rows, key=lambda row: (not row.is_open, row.number))
    return tuple(
        Problem(row, _decision(record, row) if viewer.is_lead else None, record.job.number) for row in ordered
    )


def _decision(record: JobRecord, row: Nonconformance) -> EntryForm | None:
    subject, key = row.job_operation.operation.code, str(row.number)
    if record.job.is_released or not row.is_open:
        return None
    initial = {"p_nonconformance": key}
    if not row.disposition:
        return DispositionForm(record, subject, key=key, initial=initial, second=_needs_second(record, row))
    if row.checkpoint is None:
        return ReworkCheckedForm(record, subject, key=key, initial=initial)
    return None


def _needs_second(record: JobRecord, row: Nonconformance) -> bool:
    """Use as is on steering, suspension, brakes and welds takes a second qualified person."""
    if row.checkpoint is not None:
        return row.checkpoint.is_safety
    operation = record.find(row.job_operation.operation.code)
    return operation is not None and any(c.checkpoint.is_safety for c in operation.checkpoints)


def acceptance_form(
    record: JobRecord, operation: OperationStanding, standing: CheckpointStanding, *, viewer: Person
) -> EntryForm | None:
    """For a lead who did not take the reading: to accept one that is too close to call."""
    result = standing.current
    if standing.state != CheckState.TOO_CLOSE or result is None or record.awaits_witness(standing):
        return None
    if not viewer.is_lead or result.person_id == viewer.pk:
        return None
    return AcceptCloseForm(
        record,
        operation.code,
        key=standing.code.replace(".", "-"),
        initial={"p_checkpoint": standing.code},
        second=standing.checkpoint.is_safety,
    )


def blocked_since(record: JobRecord, *, now: dt.datetime) -> int:
    """Whole days by the shop's calendar since the car stands as it does."""
    zone = record.zone
    return (now.astimezone(zone).date() - record.job.stands_since.astimezone(zone).date()).days

"""Estimates: a draft is edited, an offer stands as it is, a new issue replaces it."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.db import models, transaction
from django.utils.translation import gettext as _

from jobs.models import Estimate, EstimateLine, EstimateState, Job
from jobs.money.amounts import Totals, totals_of
from shop.events import append, lock_stream
from shop.models import Person, ShopSettings

MOST_LINES = 200


class EstimateError(Exception):
    """What was asked of an estimate cannot be done; `message` says why in the user's words."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


class OvertakenError(EstimateError):
    """Somebody else changed the draft since it was opened."""


@dataclass(frozen=True)
class Line:
    """A line as it is to be laid down."""

    kind: str
    text: str
    quantity: Decimal
    unit: str
    price_each: Decimal
    operation: str = ""


@dataclass(frozen=True)
class Sheet:
    """An estimate as it was typed: all of its lines, the note, the share asked for in advance."""

    lines: tuple[Line, ...]
    note: str
    deposit_percent: Decimal


def subject_of(estimate: Estimate) -> str:
    """What an entry about one estimate is about."""
    return f"estimate/{estimate.issue}"


def totals(estimate: Estimate) -> Totals:
    return totals_of(estimate.lines.all(), tax_percent=estimate.tax_percent, taxed_kinds=estimate.taxed_kinds)


def draft_of(job: Job) -> Estimate | None:
    return job.estimates.filter(state=EstimateState.DRAFT).prefetch_related("lines").first()


def mark_of(job: Job) -> str:
    """What somebody who opens the draft has seen: the estimates with the newest line of the draft."""
    draft = draft_of(job)
    newest = max((line.pk for line in draft.lines.all()), default=0) if draft else 0
    return f"{job.estimates.count()}.{draft.issue if draft else 0}.{newest}"


@transaction.atomic
def keep_draft(job: Job, sheet: Sheet, *, seen: str, by: Person, now: dt.datetime) -> Estimate:
    """Lay the draft down as it was typed, under the next issue where there is none yet.

    Raises:
        OvertakenError: it is not any more what `by` has seen.
    """
    lock_stream(job.stream)
    draft = draft_of(job)
    if draft is not None and _says(draft) == sheet:
        return draft
    if mark_of(job) != seen:
        raise OvertakenError(
            _(
                "Somebody changed this estimate since you opened it. What you entered is below and is not "
                "saved; open the page again in another tab and compare."
            )
        )
    draft = draft or _begin(job, by, now)
    gone = list(draft.lines.all())
    EstimateLine.objects.filter(pk__in=[line.pk for line in gone]).delete()
    draft.note, draft.deposit_percent = sheet.note, sheet.deposit_percent
    _follow_the_rule(draft)
    draft.save()
    rows = _lay_down(draft, sheet.lines)
    append(
        stream=job.stream,
        kind="estimate.drafted",
        data={"by": by.pk, "estimate": draft.issue, "lines": len(rows)},
        now=now,
        rows=[draft, *rows],
        removed=gone,
    )
    return draft


@transaction.atomic
def offer(estimate: Estimate, *, by: Person, now: dt.datetime) -> None:
    """Offer the draft to the customer. From now on it is never changed; an older offer is replaced.

    Raises:
        EstimateError: it is no draft, has no lines, or comes to nothing.
    """
    job = estimate.job
    lock_stream(job.stream)
    current = Estimate.objects.prefetch_related("lines").get(pk=estimate.pk)
    if current.state != EstimateState.DRAFT:
        raise EstimateError(_("Estimate %(issue)d was offered already") % {"issue": current.issue})
    if not totals(current).net:
        raise EstimateError(_("An estimate that comes to nothing cannot be offered; enter its prices"))
    for older in job.estimates.filter(state=EstimateState.OFFERED):
        older.state = EstimateState.REPLACED
        older.save(update_fields=["state"])
        _tell("estimate.replaced", older, by, now)
    current.state, current.offered_at = EstimateState.OFFERED, now
    current.save(update_fields=["state", "offered_at"])
    _tell("estimate.offered", current, by, now)


def answer_offer(estimate: Estimate, *, yes: bool, now: dt.datetime) -> Iterator[tuple[Estimate, str]]:
    """Mark an offer as answered, and what it replaces; each changed row with the event it calls for."""
    if yes:
        for older in estimate.job.estimates.filter(state=EstimateState.ACCEPTED):
            older.state = EstimateState.REPLACED
            older.save(update_fields=["state"])
            yield older, "estimate.replaced"
    estimate.state = EstimateState.ACCEPTED if yes else EstimateState.DECLINED
    estimate.answered_at = now
    estimate.save(update_fields=["state", "answered_at"])
    yield estimate, f"estimate.{estimate.state}"


def in_force(estimates: Sequence[Estimate]) -> Estimate | None:
    """The estimate that was accepted; else the one that was offered."""
    for state in (EstimateState.ACCEPTED, EstimateState.OFFERED):
        found = next((e for e in estimates if e.state == state), None)
        if found is not None:
            return found
    return None


def _lay_down(draft: Estimate, lines: Sequence[Line]) -> list[EstimateLine]:
    return [
        EstimateLine.objects.create(
            estimate=draft,
            position=position,
            kind=line.kind,
            operation=line.operation,
            text=line.text,
            quantity=line.quantity,
            unit=line.unit,
            price_each=line.price_each,
        )
        for position, line in enumerate(lines, start=1)
    ]


def _says(draft: Estimate) -> Sheet:
    """The draft as it would be typed again."""
    lines = (
        Line(row.kind, row.text, row.quantity, row.unit, row.price_each, row.operation)
        for row in draft.lines.all()
    )
    return Sheet(tuple(lines), draft.note, draft.deposit_percent)


def _begin(job: Job, by: Person, now: dt.datetime) -> Estimate:
    taken = job.estimates.aggregate(top=models.Max("issue"))["top"] or 0
    draft = Estimate(job=job, issue=taken + 1, made_by=by, made_at=now, deposit_percent=Decimal(0))
    _follow_the_rule(draft)
    draft.save()
    return draft


def _follow_the_rule(draft: Estimate) -> None:
    """A draft goes by the shop's rule of today; what was offered keeps the rule of its day."""
    shop = ShopSettings.current()
    draft.tax_percent, draft.taxed_kinds = shop.tax_percent, list(shop.taxed_kinds)


def _tell(kind: str, row: Estimate, by: Person, now: dt.datetime) -> None:
    append(stream=row.job.stream, kind=kind, data={"by": by.pk, "estimate": row.issue}, now=now, rows=[row])

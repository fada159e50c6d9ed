"""What a lead changes about the route of one car: deviations, operations that do not apply."""

from typing import Any

from django.db import models
from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.gates.left_out import needed_later
from jobs.judging.instruments import agreed_rule, all_instruments, choices_for
from jobs.judging.limits import parsed
from jobs.judging.questions import said
from jobs.models import (
    CheckpointKind,
    Deviation,
    Omission,
    OperationState,
    ReopeningCause,
)
from jobs.record import CheckpointStanding, OperationStanding
from jobs.recording.signing import require_pin, second_person
from jobs.recording.work import Work, reopen, set_state
from shop.engineering.limits import Limits
from shop.engineering.quantities import QuantityError
from shop.entries import Refused
from shop.models import Person

TAKES_LIMIT = frozenset(
    {CheckpointKind.DIMENSION, CheckpointKind.PAIR, CheckpointKind.TORQUE, CheckpointKind.TORQUE_ANGLE}
)


def deviation(work: Work) -> dict[str, Any]:
    """Issue a signed departure from the procedure for this car; a limit given replaces the checkpoint's."""
    require_pin(work)
    operation = work.operation
    if operation.is_done:
        words = {"code": operation.code, "state": operation.job_operation.get_state_display()}
        raise Refused(_("%(code)s is %(state)s; a deviation is issued before the work") % words)
    standing = work.checkpoint() if work.payload.get("checkpoint") else None
    if standing is not None:
        _require_undecided(work, standing)
    limit, equal = _new_limit(work, standing, "limit"), _new_limit(work, standing, "equal")
    workers = set(work.record.workers(operation.code))
    if work.signer.pk in workers:
        raise Refused(
            _("%(name)s worked on %(code)s; another lead issues a deviation from it")
            % {"name": work.signer, "code": operation.code}
        )
    made = Deviation.objects.create(
        number=_next(work.job.deviations),
        job=work.job,
        job_operation=operation.job_operation,
        checkpoint=standing.checkpoint if standing else None,
        text=work.text("text", what=_("Say what is done differently"), most=500),
        limit=limit.text if limit else "",
        equal=equal.text if equal else "",
        reason=work.text("reason", what=_("Give the reason; it shows on the papers")),
        person=work.signer,
        second=_second(work, operation, standing, not_these=workers),
        issued_at=work.now,
        entry=work.entry,
    )
    work.tell("deviation.issued", {"number": made.number, "operation": operation.code}, made)
    warning = _not_provable(work, standing, limit, equal)
    return {"deviation": made.number, "warning": warning}


def deviation_withdraw(work: Work) -> dict[str, Any]:
    """Take a deviation back. What was read under it does not count any more."""
    require_pin(work)
    number = str(work.payload.get("deviation", ""))
    found = next((d for d in work.record.deviations if str(d.number) == number and d.is_in_force), None)
    if found is None or found.job_operation_id != work.operation.job_operation.pk:
        raise Refused(_("There is no deviation %(number)s in force here") % {"number": number[:10]})
    found.withdrawn_at, found.withdrawn_by = work.now, work.signer
    found.withdrawn_reason = work.text("reason", what=_("Give the reason; it shows on the papers"))
    found.save(update_fields=["withdrawn_at", "withdrawn_by", "withdrawn_reason"])
    work.tell("deviation.withdrawn", {"number": found.number}, found)
    for standing in work.operation.checkpoints:
        if standing.current is not None and standing.current.deviation_id == found.pk:
            words = _("deviation %(number)d was withdrawn") % {"number": found.number}
            reopen(work, standing.current, ReopeningCause.REWORK, words)
    return {"deviation": found.number, "in_force": False}


def omit(work: Work) -> dict[str, Any]:
    """Mark an operation as not applicable to this car."""
    require_pin(work)
    operation = work.operation
    if operation.state != OperationState.WAITING:
        raise Refused(
            _("%(code)s is %(state)s; only what has not begun can be left out")
            % {"code": operation.code, "state": operation.job_operation.get_state_display()}
        )
    needed = needed_later(work.record, operation)
    if needed:
        raise Refused(
            _("%(code)s cannot be left out: %(why)s") % {"code": operation.code, "why": "; ".join(needed)}
        )
    made = Omission.objects.create(
        job_operation=operation.job_operation,
        reason=work.text("reason", what=_("Give the reason; it shows on the papers")),
        person=work.signer,
        second=_second(work, operation, None, not_these=set()),
        omitted_at=work.now,
        entry=work.entry,
    )
    work.tell("operation.omitted", {"operation": operation.code}, made)
    set_state(work, operation, OperationState.NOT_APPLICABLE)
    return {"state": OperationState.NOT_APPLICABLE}


def omit_take_back(work: Work) -> dict[str, Any]:
    """An operation applies after all; it is to be done."""
    require_pin(work)
    operation = work.operation
    omission = operation.job_operation.omissions.filter(taken_back_at=None).last()
    if operation.state != OperationState.NOT_APPLICABLE or omission is None:
        raise Refused(_("%(code)s is not left out") % {"code": operation.code})
    omission.taken_back_at = work.now
    omission.save(update_fields=["taken_back_at"])
    work.tell("operation.taken_back", {"operation": operation.code}, omission)
    set_state(work, operation, OperationState.WAITING)
    return {"state": OperationState.WAITING}


def _require_undecided(work: Work, standing: CheckpointStanding) -> None:
    """A deviation comes before the reading: what was read badly is decided about, not explained away."""
    if standing.deviation is not None:
        raise Refused(
            _("Deviation %(number)d is in force at %(code)s; withdraw it first")
            % {"number": standing.deviation.number, "code": standing.code}
        )
    if standing.current is not None:
        raise Refused(
            _("%(code)s is read already: a bad reading is decided about as a nonconformance")
            % {"code": standing.code}
        )
    here = (n for n in work.record.open_nonconformances if n.checkpoint_id == standing.checkpoint.pk)
    if any(not n.disposition for n in here):
        raise Refused(
            _("A nonconformance is open at %(code)s; decide about it first") % {"code": standing.code}
        )


def _new_limit(work: Work, standing: CheckpointStanding | None, name: str) -> Limits | None:
    """The limit that is to hold for this car.

    Raises:
        BadInput: it cannot be read, is of another kind, or belongs to a checkpoint that has none.
    """
    text = str(work.payload.get(name, "")).strip()
    if not text:
        return None
    if standing is None or standing.checkpoint.kind not in TAKES_LIMIT:
        raise BadInput({name: _("Only a dimension, a pair or a torque has a limit to be changed")})
    written = standing.checkpoint.equal if name == "equal" else standing.checkpoint.limit
    before = parsed(written, work.record.settings)
    try:
        found = parsed(text, work.record.settings)
    except QuantityError as error:
        raise BadInput({name: said(error)}) from error
    if before is None or found is None or before.dimension is not found.dimension:
        words = _("The procedure's limit is %(limit)s; write one of that kind") % {"limit": written or "–"}
        raise BadInput({name: words})
    return found


def _second(
    work: Work, operation: OperationStanding, standing: CheckpointStanding | None, *, not_these: set[int]
) -> Person | None:
    """On steering, suspension, brakes and welds a second qualified person signs too."""
    looked_at = [standing] if standing else list(operation.checkpoints)
    if not any(c.checkpoint.is_safety for c in looked_at):
        return None
    return second_person(work, not_these=frozenset(not_these | {work.signer.pk}))


def _not_provable(
    work: Work, standing: CheckpointStanding | None, limit: Limits | None, equal: Limits | None
) -> str:
    """That no instrument of the shop can prove the new limit; empty where one can."""
    limits = [limit] if limit else []
    if standing is None or not (limits or equal):
        return ""
    choices = choices_for(
        limits,
        unit=(limit or equal).unit,  # type: ignore[union-attr]
        kind=standing.checkpoint.instrument_kind,
        instruments=all_instruments(),
        on=work.today,
        rule=agreed_rule(work.record.settings),
        equal=equal,
    )
    if any(choice.is_usable and choice.proves for choice in choices):
        return ""
    return _("No instrument of the shop can prove this limit")


def _next(rows: Any) -> int:
    return (rows.aggregate(top=models.Max("number"))["top"] or 0) + 1

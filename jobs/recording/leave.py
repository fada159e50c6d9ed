"""Leave to go on: gates set aside by name, the car moved, the car released."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.gates.conditions import (
    before_it_stands_on_its_wheels,
    reasons_against_release,
    reasons_against_starting,
    reasons_against_work,
)
from jobs.models import Flag, OperationState, Override, Stands
from jobs.recording.signing import require_pin
from jobs.recording.work import Work, refuse_for, set_stands
from shop.closures import closed_words, closure_of
from shop.entries import Refused
from shop.models import Bay, Role


def override(work: Work) -> dict[str, Any]:
    """Set one reason of a gate aside, by somebody allowed to, with a reason that shows on the papers."""
    require_pin(work)
    operation = work.operation
    code = str(work.payload.get("reason_code", ""))
    standing_against = {
        r.code: r
        for check in (reasons_against_starting, reasons_against_work)
        for r in check(work.record, operation, now=work.now)
    }
    found = standing_against.get(code)
    if found is None:
        raise Refused(_("Nothing of that kind stands against %(code)s") % {"code": operation.code})
    if not found.overridable_by:
        raise Refused(_("Nobody may set this aside: %(text)s") % {"text": found.text})
    if work.signer.role not in found.overridable_by:
        allowed = ", ".join(str(Role(role).label) for role in sorted(found.overridable_by))
        raise Refused(_("Only this may be set aside by: %(roles)s") % {"roles": allowed})
    made = Override.objects.create(
        job=work.job,
        job_operation=operation.job_operation,
        reason_code=code,
        reason_text=found.text[:400],
        pieces=found.pieces,
        reason=work.text("reason", what=_("Give the reason; it shows on the papers")),
        person=work.signer,
        at=work.now,
        entry=work.entry,
    )
    work.tell("gate.overridden", {"operation": operation.code, "reason_code": code}, made)
    return {"reason_code": code}


def move(work: Work) -> dict[str, Any]:
    """Move the car to another bay or out of one. On stands it cannot move."""
    stands = str(work.payload.get("stands") or work.job.stands)
    if stands not in Stands.values:
        raise BadInput({"stands": _("Say what the car stands on")})
    bay = _bay(work)
    if bay != work.job.bay and work.job.stands == Stands.ON_STANDS and stands == Stands.ON_STANDS:
        raise Refused(_("A car on stands cannot be moved; set it on a dolly or on its wheels first"))
    if stands == Stands.ON_WHEELS and work.job.stands != Stands.ON_WHEELS:
        _require_may_roll(work)
    work.job.bay = bay
    work.job.save(update_fields=["bay"])
    set_stands(work, Stands(stands))
    return {"bay": bay.number if bay else None, "stands": stands}


def release(work: Work) -> dict[str, Any]:
    """A lead releases the car when nothing is open."""
    require_pin(work)
    if work.job.is_released:
        raise Refused(_("Job %(number)d is released already") % {"number": work.job.number})
    refuse_for(reasons_against_release(work.record, now=work.now), _("The car may not be released yet"))
    job = work.job
    job.released_at, job.released_by, job.bay = work.now, work.signer, None
    job.save(update_fields=["released_at", "released_by", "bay"])
    work.tell("job.released", {"number": job.number}, job)
    return {"released": True}


def _bay(work: Work) -> Bay | None:
    number = str(work.payload.get("bay", "")).strip()
    if not number:
        return None
    is_number = number.isascii() and number.isdecimal() and len(number) < 9
    bay = Bay.objects.filter(number=number, is_open=True).first() if is_number else None
    if bay is None:
        raise BadInput({"bay": _("There is no open bay %(number)s") % {"number": number}})
    closure = closure_of(bay, on=work.today) if bay != work.job.bay else None
    if closure is not None:
        raise BadInput({"bay": closed_words(closure)})
    other = bay.jobs.filter(released_at=None).exclude(pk=work.job.pk).first()
    if other is not None:
        raise BadInput(
            {"bay": _("Job %(number)d stands in bay %(bay)s") % {"number": other.number, "bay": bay}}
        )
    return bay


def _require_may_roll(work: Work) -> None:
    """Once its suspension is off, the route's own operation sets the car on its wheels, not a move."""
    begun = [
        o.position
        for o in work.record.operations
        if o.does(Flag.STOPS_ROLLING) and o.state in {OperationState.IN_WORK, OperationState.FINISHED}
    ]
    stopped = max(begun, default=None)
    if stopped is None:
        return
    back = [o for o in work.record.operations if o.does(Flag.ONTO_WHEELS) and o.position >= stopped]
    if not any(o.is_done for o in back):
        names = ", ".join(o.code for o in back) or "?"
        raise Refused(_("The car goes onto its wheels in operation %(code)s") % {"code": names})
    reasons = [r for o in back for r in before_it_stands_on_its_wheels(work.record, o, work.now)]
    refuse_for(reasons, _("The car may not go onto its wheels yet"))

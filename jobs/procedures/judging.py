"""What a lead decides about a limit that nothing in the shop can prove: once, in the open, with a reason."""

import datetime as dt

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.models import Checkpoint, JudgedWay, JudgingDecision, ProcedureRevision
from jobs.procedures.releasing import procedure_stream
from shop.events import append, lock_stream
from shop.models import Person

LONGEST_INSTRUMENT = 80
LONGEST_REASON = 300


def decide_judging(
    *,
    revision: ProcedureRevision,
    checkpoint: Checkpoint,
    way: str,
    instrument: str,
    reason: str,
    by: Person,
    second: Person | None,
    now: dt.datetime,
) -> JudgingDecision:
    """Say how a limit is judged that is finer than anything in the shop.

    Raises:
        BadInput: it is decided already, something is missing, or the second person may not sign.
    """
    errors = _faults(checkpoint, way, instrument, reason, by, second)
    if errors:
        raise BadInput(errors)
    with transaction.atomic():
        lock_stream(procedure_stream(revision))
        if JudgingDecision.objects.filter(checkpoint=checkpoint).exists():
            raise BadInput({"way": _("It is decided already; it is decided once")})
        row = JudgingDecision.objects.create(
            checkpoint=checkpoint,
            way=way,
            instrument=instrument.strip()[:LONGEST_INSTRUMENT],
            reason=reason.strip()[:LONGEST_REASON],
            person=by,
            second=second,
            decided_at=now,
        )
        append(
            stream=procedure_stream(revision),
            kind="procedure.judging_decided",
            data={"revision": revision.revision, "checkpoint": checkpoint.code, "way": way, "by": by.pk},
            now=now,
            rows=[row],
        )
    return row


def _faults(
    checkpoint: Checkpoint, way: str, instrument: str, reason: str, by: Person, second: Person | None
) -> dict[str, str]:
    """What is missing, or who may not sign."""
    errors = {}
    if way not in JudgedWay.values:
        errors["way"] = _("Choose how it is judged")
    if way == JudgedWay.FINER and not instrument.strip():
        errors["instrument"] = _("Name the instrument that is bought or hired")
    if not reason.strip():
        errors["reason"] = _("Give the reason; it shows on the papers")
    if not by.is_lead:
        errors["way"] = _("Only a lead may do this; %(name)s is not one") % {"name": by}
    if way == JudgedWay.SIMPLE and checkpoint.is_safety and second is None:
        errors["second_username"] = _("Steering, suspension, brakes: a second lead signs too")
    if second is not None and (second == by or not second.is_lead):
        errors["second_username"] = _("The second person is another lead")
    return errors

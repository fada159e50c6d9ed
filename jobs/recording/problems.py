"""What does not conform: stopping for a problem, deciding what is done, taking what is too close."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.models import (
    Acceptance,
    Checkpoint,
    CheckpointKind,
    Disposition,
    Nonconformance,
    Proves,
    ReopeningCause,
    Result,
)
from jobs.record import CheckpointStanding, CheckState
from jobs.recording.signing import require_pin, second_person
from jobs.recording.undoing import weld_again, witness_again
from jobs.recording.work import Work, close_reworked, open_nonconformance, reopen
from parts.scrapping import scrap
from parts.standing import LineStanding
from shop.entries import Refused


def problem(work: Work) -> dict[str, Any]:
    """Stop: somebody found something wrong, with or without a checkpoint for it."""
    text = work.text("text", what=_("Say what is wrong"), most=500)
    operation = work.operation
    standing = work.checkpoint() if work.payload.get("checkpoint") else None
    made = open_nonconformance(
        work,
        job_operation=operation.job_operation,
        checkpoint=standing.checkpoint if standing else None,
        text=text,
    )
    return {"nonconformance": made.number}


def disposition(work: Work) -> dict[str, Any]:
    """A lead decides what is done about a nonconformance; nobody decides about their own work."""
    require_pin(work)
    found = _nonconformance(work)
    if found.disposition:
        raise Refused(
            _("Nonconformance %(number)d is decided already: %(what)s")
            % {"number": found.number, "what": found.get_disposition_display()}
        )
    what = str(work.payload.get("disposition", ""))
    if what not in Disposition.values:
        raise BadInput({"disposition": _("Choose rework, use as is, or scrap and reorder")})
    reason = work.text("reason", what=_("Give the reason; it shows on the papers"))
    _require_not_own(work, found.checkpoint, found.result)
    scrapped = _scrapped(work, what)
    found.disposition = what
    found.disposition_reason = reason
    found.disposition_by = work.signer
    if what == Disposition.USE_AS_IS:
        _use_as_is(work, found, reason)
    else:
        _send_back(work, found, reason)
    found.save()
    told = {"number": found.number, "disposition": what}
    if scrapped is not None:
        line, pieces = scrapped
        told |= {"part_number": line.part_number, "pieces": pieces}
        order = work.job.kit_order
        scrap(
            order=order,
            line=line,
            quantity=pieces,
            reason=reason,
            by=work.signer,
            entry=work.entry,
            now=work.now,
        )
    work.tell("nonconformance.disposition", told, found)
    return {"nonconformance": found.number, "disposition": what, "open": found.is_open}


def _scrapped(work: Work, what: str) -> tuple[LineStanding, int] | None:
    """The part of the kit that is spoiled and how many pieces of it, where one is named."""
    part, typed = (str(work.payload.get(name, "")).strip() for name in ("part", "pieces"))
    if not part:
        return None
    if what != Disposition.SCRAP_REORDER:
        raise BadInput({"part": _("A part is named only where it is scrapped and reordered")})
    line = next((one for one in work.record.kit.lines if one.part_number == part), None)
    if line is None:
        raise BadInput({"part": _("The kit has no part %(part)s") % {"part": part[:40]}})
    is_number = typed.isascii() and typed.isdecimal() and len(typed) < 5
    pieces = int(typed) if is_number else 0
    if not 0 < pieces <= line.here:
        words = _("Enter how many, 1 to %(here)d: so many are here") % {"here": line.here}
        raise BadInput({"pieces": words if line.here else _("None of it is here")})
    return line, pieces


def rework_checked(work: Work) -> dict[str, Any]:
    """A lead has looked at rework that no checkpoint measures, and closes its nonconformance."""
    require_pin(work)
    found = _nonconformance(work)
    if found.disposition not in {Disposition.REWORK, Disposition.SCRAP_REORDER} or not found.is_open:
        raise Refused(_("Nonconformance %(number)d is not in rework") % {"number": found.number})
    if found.checkpoint is not None:
        raise Refused(
            _("It closes when %(code)s is read again and conforms") % {"code": found.checkpoint.code}
        )
    _require_not_own(work, found.checkpoint, found.result)
    found.closed_at = work.now
    found.save(update_fields=["closed_at"])
    work.tell("nonconformance.closed", {"number": found.number}, found)
    return {"nonconformance": found.number, "open": False}


def accept_close(work: Work) -> dict[str, Any]:
    """A lead takes a result that is too close to call, with a reason that shows on the papers."""
    require_pin(work)
    standing = work.checkpoint()
    result = standing.current
    if result is None or standing.state != CheckState.TOO_CLOSE:
        raise Refused(_("%(code)s is not too close to call") % {"code": standing.code})
    reason = work.text("reason", what=_("Give the reason; it shows on the papers"))
    _require_not_own(work, standing.checkpoint, result)
    _accept(work, standing, result, reason)
    return {"checkpoint": standing.code, "verdict": CheckState.ACCEPTED}


def _nonconformance(work: Work) -> Nonconformance:
    number = str(work.payload.get("nonconformance", ""))
    found = next((n for n in work.record.nonconformances if str(n.number) == number), None)
    if found is None or found.job_operation.operation.code != work.subject:
        raise Refused(_("There is no nonconformance %(number)s here") % {"number": number})
    return found


def _require_not_own(work: Work, checkpoint: Checkpoint | None, result: Result | None) -> None:
    """The signer did none of the work in question, nor took the reading that is decided about."""
    if work.signer.pk in _whose_work(work, checkpoint, result):
        raise Refused(_("%(name)s did this work; another lead decides about it") % {"name": work.signer})


def _whose_work(work: Work, checkpoint: Checkpoint | None, result: Result | None) -> set[int]:
    """Who welded, for a weld; else who worked on the operation or took the reading."""
    if checkpoint is not None and checkpoint.kind == CheckpointKind.WELD:
        return set(work.record.welders(checkpoint.made_in))
    people = set(work.record.workers(work.subject))
    if checkpoint is None:
        # A problem at an inspection may be about the welds that are looked at there.
        for weld in work.operation.checkpoints:
            people |= work.record.welders(weld.checkpoint.made_in)
    if result is not None:
        people.add(result.person_id)
    first = work.record.find_checkpoint(checkpoint.witness_of) if checkpoint else None
    if first is not None:
        people |= work.record.workers(first.job_operation.operation.code)
    return people


def _standing_of(work: Work, found: Nonconformance) -> CheckpointStanding | None:
    return work.record.find_checkpoint(found.checkpoint.code) if found.checkpoint else None


def _use_as_is(work: Work, found: Nonconformance, reason: str) -> None:
    standing = _standing_of(work, found)
    if standing is not None and standing.proves(Proves.PERMIT):
        raise Refused(_("A permit is given or not; without it there is no hot work"))
    if standing is not None and standing.state == CheckState.DOES_NOT_CONFORM and standing.current:
        accepted = _accept(work, standing, standing.current, reason)
        found.second = accepted.second
    elif any(c.checkpoint.is_safety for c in work.operation.checkpoints):
        workers = _whose_work(work, found.checkpoint, found.result) | {work.signer.pk}
        found.second = second_person(work, not_these=frozenset(workers))
    found.closed_at = work.now


def _send_back(work: Work, found: Nonconformance, reason: str) -> None:
    standing = _standing_of(work, found)
    if standing is None:
        return
    if standing.current is not None:
        reopen(work, standing.current, ReopeningCause.REWORK, reason)
        witness_again(work, standing)
    if standing.checkpoint.kind == CheckpointKind.WELD:
        weld_again(work, standing, reason)


def _accept(work: Work, standing: CheckpointStanding, result: Result, reason: str) -> Acceptance:
    """Take a result as it is. On steering, suspension, brakes and welds a second person signs too."""
    second = None
    if standing.checkpoint.is_safety:
        workers = _whose_work(work, standing.checkpoint, result) | {work.signer.pk}
        second = second_person(work, not_these=frozenset(workers))
    made = Acceptance.objects.create(
        result=result, reason=reason, person=work.signer, second=second, entry=work.entry
    )
    work.tell("result.accepted", {"checkpoint": standing.code, "result": result.pk}, made)
    close_reworked(work, standing)
    return made

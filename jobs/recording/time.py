"""Time at work on an operation: begun with the work, paused, handed over, closed, set right by a lead."""

import datetime as dt
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.models import BookedTime, EndedBy, OperationState, TimeCorrection
from jobs.record import OperationStanding
from jobs.recording.notes import write_note
from jobs.recording.signing import require_worker
from jobs.recording.work import Work
from shop.entries import Refused
from shop.events import append
from shop.models import SignedHow
from shop.prepared import Prepared
from shop.tablets import left_at

OPEN = Prepared(lambda person: BookedTime.objects.filter(person=person, ended_at=None))
LONGEST = dt.timedelta(hours=24)
FARTHEST = dt.timedelta(days=7)


def begin(work: Work, operation: OperationStanding) -> None:
    """Book the signer's time from now on; what they were at before is closed.

    What was written by hand on a sheet and is typed in later says nothing of where they are now.
    """
    if work.entry.signed_how == SignedHow.PAPER:
        return
    for row in OPEN.all(person=work.signer):
        today = work.record.settings.day_at(row.began_at) == work.today
        if row.job_operation_id == operation.job_operation.pk and today:
            return
        words = _("went on with %(number)d %(code)s")
        reason = words % {"number": work.job.number, "code": operation.code}
        _close(work, row, EndedBy.PAUSED, reason)
    made = BookedTime.objects.create(
        job_operation=operation.job_operation, person=work.signer, began_at=work.now, entry=work.entry
    )
    work.tell("time.began", {"operation": operation.code}, made)


def go_on(work: Work, operation: OperationStanding) -> None:
    """Whoever records in their turn is at work, also when they did not say so."""
    if work.entry.signed_how == SignedHow.TURN and operation.state == OperationState.IN_WORK:
        begin(work, operation)


def close_all(work: Work, operation: OperationStanding) -> None:
    """The operation is finished: nobody is at work on it any more."""
    rows = BookedTime.objects.filter(job_operation=operation.job_operation, ended_at=None)
    for row in rows.select_related("job_operation__job", "job_operation__operation"):
        _close(work, row, EndedBy.FINISHED)


def pause(work: Work) -> dict[str, Any]:
    """Leave off work for a reason."""
    reason = work.text("reason", what=_("Say why you pause"), most=200)
    _close(work, _mine(work), EndedBy.PAUSED, reason)
    return {"paused": work.operation.code}


def resume(work: Work) -> dict[str, Any]:
    """Go on with an operation that is in work."""
    operation = work.operation
    if not operation.is_in_work:
        raise Refused(
            _("%(code)s is %(state)s; only what is in work can be gone on with")
            % {"code": operation.code, "state": operation.job_operation.get_state_display()}
        )
    require_worker(work, operation)
    begin(work, operation)
    return {"resumed": operation.code}


def hand_over(work: Work) -> dict[str, Any]:
    """Leave an operation to the next shift, with what they must know."""
    note = write_note(work, is_hand_over=True)
    row = _open(work).filter(job_operation=work.operation.job_operation).first()
    if row is not None:
        _close(work, row, EndedBy.HANDED_OVER)
    return {"note": note.pk}


def time_correction(work: Work) -> dict[str, Any]:
    """Set booked time right; what was booked stays, the newest correction counts."""
    key = str(work.payload.get("booked", ""))
    rows = BookedTime.objects.filter(job_operation=work.operation.job_operation)
    row = rows.filter(pk=int(key)).first() if key.isdecimal() and len(key) < 18 else None
    if row is None:
        raise Refused(_("There is no such time at %(code)s") % {"code": work.operation.code})
    if row.ended_at is None:
        raise Refused(
            _("%(name)s is still at work; it is set right once it is closed") % {"name": row.person}
        )
    began_at, ended_at = (_moment(work, field) for field in ("began", "ended"))
    _require_possible(row, began_at, ended_at, now=work.now)
    made = TimeCorrection.objects.create(
        booked=row,
        began_at=began_at,
        ended_at=ended_at,
        reason=work.text("reason", what=_("Say why it is set right"), most=200),
        person=work.signer,
        entry=work.entry,
    )
    work.tell("time.corrected", {"operation": work.operation.code, "booked": row.pk}, made)
    return {"correction": made.pk}


def _moment(work: Work, field: str) -> dt.datetime:
    given = str(work.payload.get(field, "")).strip()
    try:
        found = dt.datetime.strptime(given.replace("T", " "), "%Y-%m-%d %H:%M")  # noqa: DTZ007 - see below
    except ValueError as error:
        words = _("Enter day and time by the shop's clock, such as 2026-03-02 14:30")
        raise BadInput({field: words}) from error
    return found.replace(tzinfo=ZoneInfo(work.record.settings.zone))


def _require_possible(
    row: BookedTime, began_at: dt.datetime, ended_at: dt.datetime, *, now: dt.datetime
) -> None:
    if ended_at <= began_at:
        raise BadInput({"ended": _("The end must come after the beginning")})
    if ended_at > now:
        raise BadInput({"ended": _("This lies ahead; enter when the work ended")})
    if abs(began_at - row.began_at) > FARTHEST:
        raise BadInput({"began": _("This is more than a week from what was booked; look at the day")})
    if ended_at - began_at > LONGEST:
        raise BadInput({"ended": _("Nobody works longer than 24 hours on end; look at the days")})


def _open(work: Work) -> Any:
    return BookedTime.objects.filter(person=work.signer, ended_at=None)


def _mine(work: Work) -> BookedTime:
    """The signer's time that runs at the operation."""
    row: BookedTime | None = _open(work).filter(job_operation=work.operation.job_operation).first()
    if row is None:
        raise Refused(
            _("%(name)s is not at work on %(code)s") % {"name": work.signer, "code": work.operation.code}
        )
    return row


def _close(work: Work, row: BookedTime, why: EndedBy, reason: str = "") -> None:
    """Close booked time now; what was left open on an earlier day ends with that day's work."""
    settings = work.record.settings
    if settings.day_at(row.began_at) < work.today:
        end(
            row, at=left_at(row.person_id, row.began_at, settings=settings), why=EndedBy.TURN_ENDED, work=work
        )
    else:
        end(row, at=work.now, why=why, reason=reason, work=work)


def end(
    row: BookedTime,
    *,
    at: dt.datetime,
    why: EndedBy,
    reason: str = "",
    work: Work | None = None,
    now: dt.datetime | None = None,
) -> None:
    """Write the end of booked time, in the stream of its own job."""
    row.ended_at, row.ended_by, row.reason = max(at, row.began_at), why, reason[:200]
    row.save(update_fields=["ended_at", "ended_by", "reason"])
    append(
        stream=row.job_operation.job.stream,
        kind="time.ended",
        data={"by": row.person_id, "operation": row.job_operation.operation.code, "why": str(why)},
        now=work.now if work else (now or at),
        entry=work.entry if work else None,
        rows=(row,),
    )

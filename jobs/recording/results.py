"""Recording what was read, set, counted, looked at; and a second person's own reading of it."""

from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.gates.conditions import reasons_against_work
from jobs.gates.fire_watch import fire_watch_not_over
from jobs.judging.checkpoint import judge
from jobs.judging.questions import Judged
from jobs.judging.read_again import too_close_before
from jobs.models import (
    Checkpoint,
    CheckpointKind,
    Flag,
    Nonconformance,
    OperationState,
    Photo,
    Proves,
    Result,
    ResultVerdict,
    Stands,
)
from jobs.record import CheckpointStanding, CheckState, OperationStanding
from jobs.recording import time
from jobs.recording.signing import require_inspector, require_other_than, require_pin, require_worker
from jobs.recording.undoing import hot_work_done, witness_again
from jobs.recording.welds import require_all_made
from jobs.recording.work import Work, close_reworked, open_nonconformance, refuse_for, set_state
from shop.entries import Refused


def reading(work: Work) -> dict[str, Any]:
    """Record a reading of a checkpoint by whoever did the work, or a weld by its inspector."""
    operation, standing = work.operation, work.checkpoint()
    kind = standing.checkpoint.kind
    if kind == CheckpointKind.WITNESS:
        raise Refused(_("%(code)s is read by a second person, with a PIN") % {"code": standing.code})
    if kind == CheckpointKind.WELD:
        require_inspector(work, standing.checkpoint)
        require_all_made(work, standing)
    else:
        require_worker(work, operation)
    reason = _require_readable(work, operation, standing)
    judged = judge(
        standing.checkpoint,
        work.payload,
        on=work.today,
        settings=work.record.settings,
        earlier=too_close_before(standing),
        layout=_layout(work, standing.checkpoint),
    )
    if kind == CheckpointKind.PHOTO:
        _require_photo(work)
    told = _save(work, operation, standing, judged, reason)
    time.go_on(work, operation)
    return told


def witness(work: Work) -> dict[str, Any]:
    """Record a second person's own reading of what another has read."""
    operation, standing = work.operation, work.checkpoint()
    if standing.checkpoint.kind != CheckpointKind.WITNESS:
        raise Refused(_("%(code)s is not read by a witness") % {"code": standing.code})
    require_pin(work)
    first = work.record.find_checkpoint(standing.checkpoint.witness_of)
    if first is None or first.current is None:
        raise Refused(
            _("%(code)s has not been read yet; the witness comes second")
            % {"code": standing.checkpoint.witness_of}
        )
    # Nor somebody who has read it before: they know what to expect.
    for result in first.results:
        require_other_than(
            work, result, _("%(name)s took the reading of %(code)s; the witness is somebody else")
        )
    require_worker(work, operation)
    reason = _require_readable(work, operation, standing)
    judged = judge(
        standing.checkpoint,
        work.payload,
        on=work.today,
        settings=work.record.settings,
        witnessed=(first.checkpoint, first.current),
        layout=_layout(work, first.checkpoint),
    )
    return _save(work, operation, standing, judged, reason)


def _layout(work: Work, checkpoint: Checkpoint) -> dict[str, Any]:
    """The layout that a mark is in; asked for only where a mark is read."""
    return dict(work.job.procedure_revision.layout) if checkpoint.mark else {}


def _require_readable(work: Work, operation: OperationStanding, standing: CheckpointStanding) -> str:
    """The operation is in work, its gates hold, and there is a reason where a result is superseded."""
    if operation.state not in {OperationState.IN_WORK, OperationState.FINISHED}:
        raise Refused(_("%(code)s is not in work; start it first") % {"code": operation.code})
    if standing.state == CheckState.DOES_NOT_CONFORM:
        raise Refused(
            _("%(code)s does not conform; the lead decides what is done before it is read again")
            % {"code": standing.code}
        )
    _require_at_ride_height(work, standing)
    if not standing.proves(Proves.PERMIT):
        sparks = not standing.proves(Proves.FIRE_WATCH)
        refuse_for(
            reasons_against_work(work.record, operation, now=work.at, sparks=sparks),
            _("%(code)s may not go on yet") % {"code": operation.code},
        )
    watch = fire_watch_not_over(work.record, standing, now=work.at)
    refuse_for([watch] if watch else [], _("The fire watch is not over"))
    lapsed = work.record.lapsed(standing, now=work.at)
    if standing.is_closed and not lapsed:
        return work.text(
            "reason", what=_("%(code)s has a result; say why it is read again") % {"code": standing.code}
        )
    return str(work.payload.get("reason", "")).strip()[:300] or lapsed


def _require_at_ride_height(work: Work, standing: CheckpointStanding) -> None:
    """A rubber-bushed pivot that is tightened hanging is twisted for ever after: on its wheels, or not."""
    job = work.job
    if not standing.checkpoint.at_ride_height:
        return
    if job.stands != Stands.ON_WHEELS or work.at < job.stands_since:
        words = {"code": standing.code, "stands": job.get_stands_display()}
        on_wheels = job.stands == Stands.ON_WHEELS
        told = _("%(code)s is tightened at ride height only, on its wheels; the car is %(stands)s")
        then = _("%(code)s is tightened at ride height only; the car was not on its wheels yet then")
        raise Refused((then if on_wheels else told) % words)


def _require_photo(work: Work) -> None:
    try:
        key = UUID(str(work.payload.get("photo", "")))
    except ValueError:
        key = None
    if key is None or not Photo.objects.filter(pk=key, job=work.job).exists():
        raise BadInput({"photo": _("Take the photo first")})


def _save(
    work: Work, operation: OperationStanding, standing: CheckpointStanding, judged: Judged, reason: str
) -> dict[str, Any]:
    result = Result.objects.create(
        job_operation=operation.job_operation,
        checkpoint=standing.checkpoint,
        entry=work.entry,
        readings=judged.readings,
        instrument=judged.instrument,
        angle_instrument=judged.angle_instrument,
        verdict=judged.verdict,
        decision=judged.decision,
        person=work.signer,
        recorded_at=work.at,
        supersedes=standing.last,
        reason=reason,
        deviation=standing.deviation,
    )
    work.tell(
        "result.recorded",
        {"checkpoint": standing.code, "verdict": judged.verdict, "supersedes": result.supersedes_id},
        result,
    )
    if operation.does(Flag.HOT_WORK) and not (
        standing.proves(Proves.PERMIT) or standing.proves(Proves.FIRE_WATCH)
    ):
        hot_work_done(work, operation)
    witness_again(work, standing)
    opened = _follow_up(work, operation, standing, result)
    return {
        "checkpoint": standing.code,
        "verdict": judged.verdict,
        "explanation": judged.explanation,
        "is_judged": result.is_judged,
        "nonconformance": opened.number if opened else None,
    }


def _follow_up(
    work: Work, operation: OperationStanding, standing: CheckpointStanding, result: Result
) -> Nonconformance | None:
    """What a verdict entails: a nonconformance opened, or one whose rework conforms closed."""
    # A lead passed a hold point on the results that there were: on another it is passed again.
    passed_on_another = operation.operation.is_hold_point and standing.is_closed
    still_holds = result.verdict == ResultVerdict.CONFORMS and not passed_on_another
    if operation.state == OperationState.FINISHED and not still_holds:
        set_state(work, operation, OperationState.IN_WORK)
    if result.verdict == ResultVerdict.CONFORMS:
        close_reworked(work, standing)
    if result.verdict != ResultVerdict.DOES_NOT_CONFORM:
        return None
    return open_nonconformance(
        work,
        job_operation=operation.job_operation,
        checkpoint=standing.checkpoint,
        result=result,
        text=f"{standing.code} {standing.checkpoint.title}: {result.decision.get('explanation', '')}",
    )

"""What was written by hand on a sheet while the tablets were down, and is typed in at a desk.

The person who signed the sheet is the signer of the entry; who typed it in stands beside. It is judged and
gated as if it had been keyed when it was written, and shown as typed in wherever its result is shown.
"""

import datetime as dt

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.fetching import mark_of
from jobs.models import Checkpoint, CheckpointKind, Flag, Proves
from jobs.record import CheckpointStanding, OperationStanding
from jobs.recording.work import Work
from shop.entries import Refused
from shop.models import Person, Role, SignedHow

# The key of whoever types, put in by the page that knows them.
TYPED_BY = "typed_by"
TYPISTS = frozenset({Role.LEAD, Role.MANAGER})
KINDS_FROM_PAPER = frozenset({"start", "reading"})
TORQUES = frozenset({CheckpointKind.TORQUE, CheckpointKind.TORQUE_ANGLE})
DIMENSIONS = frozenset({CheckpointKind.DIMENSION, CheckpointKind.PAIR})
ON_SHEETS = TORQUES | DIMENSIONS
# A sheet that lies longer is no record any more of what was read at the time.
LONGEST_LYING = dt.timedelta(days=14)


def may_be_written(checkpoint: Checkpoint) -> bool:
    """Whether a result of it may be written by hand and typed in later."""
    return checkpoint.kind in ON_SHEETS


def require_paper_allowed(work: Work, kind: str) -> None:
    """Refuse what may not come from paper, and who may not type.

    Raises:
        Refused: not from paper, or not by this person.
        BadInput: the time on the sheet cannot be right.
    """
    if work.entry.signed_how != SignedHow.PAPER:
        return
    typist = Person.objects.filter(pk=_key(work.payload.get(TYPED_BY)), is_active=True).first()
    if typist is None or typist.role not in TYPISTS:
        raise Refused(_("A sheet is typed in by a lead or the manager"))
    if kind not in KINDS_FROM_PAPER:
        raise Refused(_("This is never taken from paper; it takes the person at a tablet or desk"))
    if kind == "reading" and not may_be_written(work.checkpoint().checkpoint):
        raise Refused(_("Only torques and dimensions are taken from paper"))
    _require_time(work)


def _require_time(work: Work) -> None:
    at = work.entry.entered_at
    if at > work.now:
        raise BadInput({"entered_at": _("This time has not come yet")})
    if at < work.now - LONGEST_LYING:
        raise BadInput({"entered_at": _("The sheet is older than fourteen days; read it again")})
    operation = work.record.find(work.subject)
    started = operation.job_operation.started_at if operation else None
    if started is not None and at < started:
        raise BadInput({"entered_at": _("%(code)s was not in work yet then") % {"code": work.subject}})
    checkpoint = str(work.payload.get("checkpoint", ""))
    standing = operation.find(checkpoint) if operation else None
    last = standing.last if standing else None
    if last is not None and at <= last.recorded_at:
        message = _("%(code)s was read again after that; the newest reading counts")
        raise BadInput({"entered_at": message % {"code": checkpoint}})
    if operation is not None and standing is not None:
        _require_after_what_undid_it(work, operation, standing)


def _require_after_what_undid_it(
    work: Work, operation: OperationStanding, standing: CheckpointStanding
) -> None:
    """A joint loosened, rework or new sparks: what was read before them proves nothing after."""
    at, last = work.entry.entered_at, standing.last
    if last is not None and hasattr(last, "reopening") and at <= mark_of(last.reopening.entry).at:
        words = {"code": standing.code, "cause": last.reopening.get_cause_display()}
        raise BadInput(
            {"entered_at": _("%(code)s was opened again after that: %(cause)s. Read it anew") % words}
        )
    sparked = _last_spark_before(work, operation, standing)
    if sparked is not None and at <= sparked:
        message = _("It was welded after that; %(code)s is measured when the welding is done")
        raise BadInput({"entered_at": message % {"code": standing.code}})


def _last_spark_before(
    work: Work, operation: OperationStanding, standing: CheckpointStanding
) -> dt.datetime | None:
    """When a weld was last made that a position is measured after."""
    if standing.proves(Proves.REMEASURE) and not operation.does(Flag.HOT_WORK):
        return work.record.last_hot_work(up_to=operation.position)
    if standing.proves(Proves.TACK_POSITION):
        return work.record.welded_at.get(operation.code)
    return None


def _key(given: object) -> int:
    return given if isinstance(given, int) else 0

"""Cautions: acknowledged once in a turn where they apply, before anything is recorded there."""

import datetime as dt
from typing import Any

from django.utils.translation import gettext as _

from jobs.models import CautionSeen, JobOperation
from jobs.recording.work import Work
from shop.entries import Refused
from shop.models import ShopSettings, SignedHow, Turn
from shop.prepared import Prepared

# What goes on with the work. A problem, a pause, a note are never held.
SEEN_IN_TURN = Prepared(
    lambda row, person, turn: CautionSeen.objects.filter(
        job_operation=row, person=person, turn=turn
    ).values_list("pk")[:1]
)
TURN = Prepared(lambda tablet, person: Turn.objects.filter(tablet=tablet, person=person, ended_at=None))
HELD = frozenset({"start", "resume", "reading", "loosen", "lot", "weld_made", "finish"})


def cautions_seen(work: Work) -> dict[str, Any]:
    """Acknowledge the cautions of an operation, as they stood there."""
    operation = work.operation
    cautions = operation.operation.cautions
    if not cautions:
        raise Refused(_("%(code)s has no cautions") % {"code": operation.code})
    turn = _turn(work)
    if not are_seen(
        operation.job_operation, work.signer.pk, turn, on=work.today, settings=work.record.settings
    ):
        made = CautionSeen.objects.create(
            job_operation=operation.job_operation,
            turn=turn,
            person=work.signer,
            cautions=cautions,
            seen_at=work.now,
            entry=work.entry,
        )
        work.tell("cautions.seen", {"operation": operation.code}, made)
    return {"cautions": len(cautions)}


def require_seen(work: Work) -> None:
    """Hold what is signed by a turn in which the operation's cautions were not acknowledged."""
    if work.entry.kind not in HELD or work.entry.signed_how != SignedHow.TURN:
        return
    operation = work.record.find(work.subject.partition("/")[0])
    if operation is None or not operation.operation.cautions:
        return
    settings, turn = work.record.settings, _turn(work)
    if not are_seen(operation.job_operation, work.signer.pk, turn, on=work.today, settings=settings):
        raise Refused(cautions_first(operation.code), data={"cautions": operation.code})


def cautions_first(code: str) -> str:
    """What whoever has not read them is told."""
    return _("Read the cautions of %(code)s first; once in a turn") % {"code": code}


def are_seen(
    row: JobOperation, person_id: int, turn: Turn | None, *, on: dt.date, settings: ShopSettings
) -> bool:
    """Whether somebody has acknowledged the cautions in their turn; apart from a tablet, on that day."""
    if turn is not None:
        return bool(SEEN_IN_TURN.all(row=row, person=person_id, turn=turn))
    mine = CautionSeen.objects.filter(job_operation=row, person=person_id, turn=None)
    last = mine.order_by("-pk").first()
    return last is not None and settings.day_at(last.seen_at) == on


def _turn(work: Work) -> Turn | None:
    """The signer's turn at the tablet from which the entry came."""
    if work.entry.tablet_id is None:
        return None
    return TURN.first(tablet=work.entry.tablet_id, person=work.signer)

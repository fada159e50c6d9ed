"""The one door for work on a car: an entry is looked up, signed for, handled, answered."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from jobs.entry_kinds import who_may_enter, who_may_words
from jobs.kept_records import KEPT_RECORDS
from jobs.models import Job
from jobs.recording import (
    additions,
    authority,
    cautions,
    changes,
    condition,
    extra_work,
    found_work,
    joints,
    leave,
    lots,
    notes,
    operations,
    payments,
    photos,
    problems,
    results,
    superseding,
    time,
    welds,
)
from jobs.recording.paper import require_paper_allowed
from jobs.recording.plain import require_plain
from jobs.recording.work import Work
from shop.entries import Answer, Envelope, Refused, take_in
from shop.models import Entry, Outcome, Person, SignedHow
from shop.prepared import Prepared

KINDS: Mapping[str, Callable[[Work], dict[str, Any]]] = {
    "start": operations.start,
    "finish": operations.finish,
    "reading": results.reading,
    "witness": results.witness,
    "photo": photos.photo,
    "loosen": joints.loosen,
    "weld_made": welds.weld_made,
    "cautions_seen": cautions.cautions_seen,
    "lot": lots.lot,
    "note": notes.note,
    "pause": time.pause,
    "resume": time.resume,
    "hand_over": time.hand_over,
    "time_correction": time.time_correction,
    "problem": problems.problem,
    "disposition": problems.disposition,
    "rework_checked": problems.rework_checked,
    "accept_close": problems.accept_close,
    "authority": authority.authority,
    "estimate_answer": payments.estimate_answer,
    "extra_work": extra_work.extra_work,
    "found_work": found_work.found_work,
    "found_work_left": found_work.found_work_left,
    "extra_work_answer": extra_work.extra_work_answer,
    "extra_work_withdrawn": extra_work.extra_work_withdrawn,
    "payment": payments.payment,
    "override": leave.override,
    "condition_mark": condition.condition_mark,
    "condition_strike": condition.condition_strike,
    "condition_report": condition.condition_report,
    "deviation": changes.deviation,
    "deviation_withdraw": changes.deviation_withdraw,
    "omit": changes.omit,
    "operation_add": additions.operation_add,
    "operation_repeat": additions.operation_repeat,
    "omit_take_back": changes.omit_take_back,
    "revision_decision": superseding.revision_decision,
    "move": leave.move,
    "release": leave.release,
}


# What of an entry is personal, by its kind: kept apart, so that it can be erased.
PERSONAL: Mapping[str, frozenset[str]] = {
    "authority": frozenset({"given_by"}),
    "estimate_answer": frozenset({"given_by"}),
    "extra_work_answer": frozenset({"given_by"}),
}
# What stands beside the evidence and changes none of it.
APART = frozenset({"cautions_seen", "found_work", "lot", "note", "pause", "resume", "hand_over"})
# What still comes when the car has been handed over.
AFTER_RELEASE = frozenset({"photo", "payment"})


IS_THERE = Prepared(lambda number: Job.objects.filter(number=number).values_list("pk"))
JOB = Prepared(
    lambda number: Job.objects.select_related(
        "kit_order__kit_revision__kit", "bay", "procedure_revision"
    ).filter(number=number)
)


class UnknownPlaceError(LookupError):
    """There is no such job, or no such kind of entry."""


@dataclass(frozen=True)
class FloorEntry:
    """What is to be recorded on a job, as a client sends it.

    `subject` is the code of the operation, or a word of its own for what concerns the whole job.
    `saw` is the last entry on that subject that the client has seen.
    """

    id: UUID
    job_number: int
    subject: str
    kind: str
    signer: Person
    signed_how: str
    saw: UUID | None = None
    payload: dict[str, Any] = field(default_factory=dict)
    entered_at: dt.datetime | None = None
    tablet_id: int | None = None


def record_entry(sent: FloorEntry, *, now: dt.datetime) -> Answer:
    """Record one entry on a job, once, whatever the network does.

    Raises:
        UnknownPlaceError: there is no such job or kind.
        BadInput: what was typed cannot be understood; nothing is saved.
    """
    handler = KINDS.get(sent.kind)
    if handler is None or not IS_THERE.all(number=sent.job_number):
        raise UnknownPlaceError(f"{sent.job_number} {sent.kind}")
    require_plain(sent.payload, subject=sent.subject, entered_at=sent.entered_at)
    envelope = _envelope(sent, stream=Job(number=sent.job_number).stream)

    def handle(entry: Entry) -> dict[str, Any]:
        # Read anew inside of the transaction: what was true before the door may not be true any more.
        current = JOB.first(number=sent.job_number)
        if current is None:
            raise UnknownPlaceError(f"{sent.job_number} {sent.kind}")
        record = KEPT_RECORDS.load(current, entry=entry)
        if current.is_released and sent.kind not in AFTER_RELEASE:
            raise Refused(_("Job %(number)d is released; its record is closed") % {"number": current.number})
        # Whoever made a link may have left; the customer who holds it may still answer.
        if not sent.signer.is_active and sent.signed_how != SignedHow.LINK:
            raise Refused(_("%(name)s does not work here any more") % {"name": sent.signer})
        work = Work(record, sent.subject, entry, sent.signer, now, sent.payload)
        require_paper_allowed(work, sent.kind)
        _require_role(sent)
        cautions.require_seen(work)
        return handler(work)

    return _without_first_reading(take_in(envelope, now=now, handle=handle))


def _require_role(sent: FloorEntry) -> None:
    """The table of kinds lets people of the signer's role, or a customer's link, make this entry."""
    actor = "link" if sent.signed_how == SignedHow.LINK else sent.signer.role
    if actor not in who_may_enter(sent.kind):
        role = sent.signer.get_role_display()
        words = {"roles": who_may_words(sent.kind), "name": sent.signer, "role": role}
        message = _("This is done by: %(roles)s; %(name)s is %(role)s")
        raise Refused(message % words, data={"who_may": sorted(who_may_enter(sent.kind))})


def _envelope(sent: FloorEntry, *, stream: str) -> Envelope:
    return Envelope(
        id=sent.id,
        stream=stream,
        subject=sent.subject,
        saw=sent.saw,
        kind=sent.kind,
        payload=sent.payload,
        signer_id=sent.signer.pk,
        signed_how=sent.signed_how,
        entered_at=sent.entered_at,
        tablet_id=sent.tablet_id,
        personal_names=PERSONAL.get(sent.kind, frozenset()),
    )


def _without_first_reading(answer: Answer) -> Answer:
    """Whoever came too late is told who recorded what; what was read stays hidden from a witness."""
    happened = answer.data.get("happened") if answer.outcome == Outcome.CONFLICT else None
    if not happened:
        return answer
    told = {name: value for name, value in happened.items() if name not in {"payload", "answer"}}
    return replace(answer, data={**answer.data, "happened": told})

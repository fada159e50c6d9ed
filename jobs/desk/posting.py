"""Which form a desk posted, and what its sender is told about what became of it."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from jobs.bay.panels import build_panels
from jobs.desk.addition_forms import ADDITION_FORMS
from jobs.desk.change_forms import CHANGE_FORMS
from jobs.desk.condition_forms import CONDITION_FORMS
from jobs.desk.forms import FORMS, EntryForm, FinishForm, PassHoldPointForm
from jobs.desk.money_forms import MONEY_FORMS
from jobs.desk.readings import ReadingForm, WitnessForm
from jobs.desk.revision_form import RevisionDecisionForm
from jobs.desk.time_forms import TimeCorrectionForm
from jobs.judging.instruments import all_instruments
from jobs.models import CheckpointKind, ResultVerdict
from jobs.overtaken import happened_words
from jobs.record import JobRecord, OperationStanding
from shop.entries import Answer

AT_DESKS: tuple[type[EntryForm], ...] = (
    *FORMS,
    *MONEY_FORMS,
    *CHANGE_FORMS,
    *CONDITION_FORMS,
    *ADDITION_FORMS,
    TimeCorrectionForm,
    RevisionDecisionForm,
)
FORM_OF_KIND = {form.kind: form for form in AT_DESKS}


def posted_form(record: JobRecord, posted: Mapping[str, Any], *, now: dt.datetime) -> EntryForm | None:
    """The form as it was posted, bound to what was typed; None for a kind that no desk sends."""
    kind, subject = str(posted.get("kind", "")), str(posted.get("subject", ""))
    operation = record.find(subject)
    if kind in {ReadingForm.kind, WitnessForm.kind}:
        return reading_form(record, operation, str(posted.get("p_checkpoint", "")), data=posted, now=now)
    if kind == FinishForm.kind:
        passes = operation is not None and operation.operation.is_hold_point
        return (PassHoldPointForm if passes else FinishForm)(record, subject, data=posted)
    form = FORM_OF_KIND.get(kind)
    return form(record, subject, key=str(posted.get("key", ""))[:40], data=posted) if form else None


def reading_form(
    record: JobRecord,
    operation: OperationStanding | None,
    checkpoint: str,
    *,
    now: dt.datetime,
    data: Mapping[str, Any] | None = None,
) -> ReadingForm | None:
    """The form for a second person's reading or the judging of a weld; None for other checkpoints."""
    standing = operation.find(checkpoint) if operation else None
    if operation is None or standing is None:
        return None
    form = {CheckpointKind.WITNESS: WitnessForm, CheckpointKind.WELD: ReadingForm}.get(
        CheckpointKind(standing.checkpoint.kind)
    )
    if form is None:
        return None
    (panel,) = build_panels(record, [standing], instruments=all_instruments(), typed=None, now=now)
    return form(panel, record, operation.code, data=data)


@dataclass(frozen=True)
class Told:
    """What the sender of a refused entry is told."""

    message: str
    reasons: tuple[Mapping[str, Any], ...] = ()
    happened: str = ""
    both: tuple[tuple[str, str, str], ...] = ()


def told(answer: Answer, form: EntryForm) -> Told:
    """In words: refused with the reasons, something else was entered first, or used for something else."""
    if answer.outcome == "refused":
        reasons = answer.data.get("reasons", [])
        return Told(str(answer.data.get("message", "")), tuple(reasons))
    if answer.outcome == "conflict":
        return Told(
            _(
                "Somebody recorded something here since you opened the page. What you entered is still "
                "below; look at what happened, then send it again if it still holds."
            ),
            happened=happened_words(answer.data.get("happened")),
        )
    return Told(
        _(
            "This form was sent before with other content, and that was recorded. What you entered now "
            "was not. If it is meant as well, send it again."
        ),
        both=tuple(_compare(answer.data, form)),
    )


def done_words(form: EntryForm, answer: Answer) -> tuple[str, bool]:
    """What was recorded, and whether it is good news."""
    verdict = answer.data.get("verdict")
    if form.kind in {ReadingForm.kind, WitnessForm.kind} and verdict:
        words = {
            "code": answer.data.get("checkpoint", ""),
            "verdict": ResultVerdict(verdict).label,
            "why": answer.data.get("explanation", ""),
        }
        if not answer.data.get("is_judged", True):
            return _("%(code)s: %(why)s") % words, True
        if form.kind == WitnessForm.kind and verdict == ResultVerdict.TOO_CLOSE:
            # It is to be read again, and how far off it was would give the first reading away.
            return _("%(code)s %(verdict)s") % words, False
        return _("%(code)s %(verdict)s. %(why)s") % words, verdict == ResultVerdict.CONFORMS
    done = _(DONE[form.kind]) % {"subject": form.subject}
    warning = str(answer.data.get("warning") or "")
    return f"{done}. {warning}" if warning else done, form.kind != "problem" and not warning


DONE = {
    "start": gettext_noop("%(subject)s is in work"),
    "finish": gettext_noop("%(subject)s is finished"),
    "loosen": gettext_noop("The joint is open again and must be tightened anew"),
    "problem": gettext_noop("A nonconformance is open at %(subject)s; a lead decides what is done"),
    "disposition": gettext_noop("The decision is recorded"),
    "rework_checked": gettext_noop("The nonconformance is closed"),
    "accept_close": gettext_noop("Accepted in your name; it shows on the papers"),
    "override": gettext_noop("Set aside in your name; it shows on the papers"),
    "authority": gettext_noop("The authority to work is recorded"),
    "estimate_answer": gettext_noop("The answer to the estimate is recorded"),
    "extra_work": gettext_noop("The extra work waits for the customer's answer"),
    "extra_work_answer": gettext_noop("The answer to the extra work is recorded"),
    "extra_work_withdrawn": gettext_noop("The question is taken back"),
    "found_work_left": gettext_noop("The customer is not asked; whoever found it reads why"),
    "payment": gettext_noop("The payment is recorded"),
    "condition_mark": gettext_noop("The mark is put on the car"),
    "condition_strike": gettext_noop("The mark is struck out; it stays readable"),
    "condition_report": gettext_noop("What was read on the walk round is recorded"),
    "deviation": gettext_noop("The deviation is issued in your name; it shows on the papers"),
    "deviation_withdraw": gettext_noop("The deviation is withdrawn; what was read under it is read again"),
    "operation_add": gettext_noop("The operation is added before %(subject)s; it shows on the papers"),
    "operation_repeat": gettext_noop("It is done once more before %(subject)s; it shows on the papers"),
    "omit": gettext_noop("%(subject)s does not apply to this car, in your name"),
    "omit_take_back": gettext_noop("%(subject)s is to be done"),
    "time_correction": gettext_noop("The time is set right; what was booked stays beside it"),
    "revision_decision": gettext_noop("The decision about the revision is recorded; it shows on the papers"),
    "move": gettext_noop("The car is where you said"),
    "release": gettext_noop("The car is released"),
}


def _compare(data: Mapping[str, Any], form: EntryForm) -> Iterator[tuple[str, str, str]]:
    """Field by field: its words, what was recorded first, what was sent now."""
    first, second = data["first"]["payload"], data["second"]["payload"]
    for name in sorted({*first, *second}):
        before, now = str(first.get(name, "")), str(second.get(name, ""))
        if before != now:
            field = form.fields.get(f"p_{name}")
            yield str(field.label) if field and field.label else name, before, now

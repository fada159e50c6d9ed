"""The words for what stands against going on, and for what would clear it."""

import datetime as dt
from collections.abc import Iterable

from django.utils.translation import gettext as _

from jobs.models import ExtraWork, Proves
from jobs.reasons import NOBODY, Reason
from jobs.record import CheckpointStanding, JobRecord, OperationStanding
from parts.in_time import why_too_late
from parts.standing import LineStanding


def open_checkpoints(standings: Iterable[CheckpointStanding]) -> list[Reason]:
    return [open_checkpoint(s) for s in standings if not s.is_closed]


def open_checkpoint(standing: CheckpointStanding, overridable_by: frozenset[str] = NOBODY) -> Reason:
    words = {
        "open": _("is not recorded"),
        "reopened": _("was opened again"),
        "too_close": _("is too close to call"),
        "does_not_conform": _("does not conform"),
    }[standing.state.value]
    clear = {
        "too_close": _("Read it again, let a second person read it, or let the lead decide"),
        "does_not_conform": _("The lead decides what is done about it"),
    }.get(standing.state.value, _("Record it"))
    return Reason(
        f"open:{standing.code}",
        f"{standing.code} {standing.checkpoint.title} {words}",
        clear,
        standing.code,
        overridable_by,
    )


def open_nonconformance(number: int, text: str) -> Reason:
    return Reason(
        f"nonconformance:{number}",
        _("Nonconformance %(number)d is open: %(text)s") % {"number": number, "text": text},
        _("The lead decides what is done about it, and it is done"),
    )


def nothing_proves(operation: OperationStanding, what: Proves) -> Reason:
    return Reason(
        f"unproved:{what}",
        _("Nothing in this procedure proves: %(what)s") % {"what": what.label},
        _("The procedure needs a checkpoint for it before %(code)s") % {"code": operation.code},
        operation.code,
    )


def no_authority() -> Reason:
    return Reason(
        "authority", _("No written authority to work is recorded"), _("Record it on the job's page")
    )


def no_authority_to_cut() -> Reason:
    return Reason(
        "authority",
        _("The customer has not allowed the car to be cut, in writing"),
        _("The service writer records the authority on the job's page"),
    )


def extra_work_not_allowed(extra: ExtraWork) -> Reason:
    """Work beyond the authority. Nobody sets the customer's word aside."""
    words = {"number": extra.number, "text": extra.text[:120]}
    if extra.withdrawn_at is not None:
        text = _("Extra work %(number)d was withdrawn: %(text)s") % words
        clear = _("Ask the customer anew, or mark the operation as not applicable")
    elif extra.answer:
        text = _("The customer said no to extra work %(number)d: %(text)s") % words
        clear = _("Mark the operation as not applicable, or ask the customer anew")
    else:
        text = _("Extra work %(number)d waits for the customer: %(text)s") % words
        clear = _("The customer answers through the private link, or the desk records the answer")
    return Reason(f"extra_work:{extra.number}", text, clear)


def kit_not_counted(record: JobRecord) -> Reason:
    number = record.job.kit_order.number
    return Reason(
        "kit_not_counted",
        _("Kit %(number)s has not been counted") % {"number": number},
        _("The parts clerk receives it against its slip"),
        overridable_by=NOBODY,
    )


def shortage(line: LineStanding, overridable_by: frozenset[str], need: dt.date | None = None) -> Reason:
    """A missing part. As a risk of standing still (`need`) it has a code of its own: another decides it."""
    words = {"number": line.part_number, "name": line.description, "short": line.short}
    text = _("%(short)d of %(number)s %(name)s missing") % words
    if need is not None:
        due = _("no date") if line.eta is None else f"{line.eta:%a} {line.eta.day} {line.eta:%b}"
        text += _(", needed by %(need)s, expected: %(due)s") % {
            "need": f"{need:%a} {need.day} {need:%b}",
            "due": due,
        }
        if line.eta == need:
            text += "; " + why_too_late(line.eta, need)
    return Reason(
        f"{'short' if need is None else 'risk'}:{line.part_number}",
        text,
        _("Receive it, or get a date for it that is before the need"),
        line.operation,
        overridable_by,
        pieces=line.short,
    )

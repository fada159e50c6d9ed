"""The last events of a job in words: who did what, when."""

import datetime as dt
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from jobs.desk.money_words import MONEY_WORDS
from jobs.entry_kinds import ENTRY_KINDS, kind_words
from jobs.models import Disposition, Job, ReopeningCause, ResultVerdict, Stands
from shop.models import Event, Person

SHOWN = 30
Data = Mapping[str, Any]


@dataclass(frozen=True)
class Line:
    """One event: when, who, what; with its number in the chain."""

    sequence: int
    at: dt.datetime
    who: str
    what: str


def history_of(job: Job, *, most: int = SHOWN) -> tuple[Line, ...]:
    """The newest events of a job first, in two queries. An accepted entry speaks through what it changed."""
    events = list(
        Event.objects.filter(stream=job.stream)
        .exclude(kind__in=[f"entry.{kind}" for kind in ENTRY_KINDS])
        .order_by("-sequence")[:most]
    )
    told = [(event, dict(json.loads(bytes(event.payload))["data"])) for event in events]
    people = Person.objects.in_bulk({key for _event, data in told if (key := _who(data)) is not None})
    return tuple(
        Line(event.sequence, event.recorded_at, str(people.get(_who(data) or 0, "")), _what(event.kind, data))
        for event, data in told
    )


def _who(data: Data) -> int | None:
    found = data.get("by", data.get("signer"))
    return found if isinstance(found, int) else None


def _what(kind: str, data: Data) -> str:
    words = WORDS.get(kind)
    return words(data) if words else kind


def _result(data: Data) -> str:
    verdict = data.get("verdict", "")
    label = ResultVerdict(verdict).label if verdict in ResultVerdict.values else verdict
    words = {"code": data.get("checkpoint", ""), "verdict": label}
    if data.get("supersedes"):
        return _("%(code)s was read again: %(verdict)s") % words
    return _("%(code)s was read: %(verdict)s") % words


def _reopened(data: Data) -> str:
    cause = data.get("cause", "")
    label = ReopeningCause(cause).label if cause in ReopeningCause.values else cause
    return _("%(code)s is open again: %(cause)s") % {"code": data.get("checkpoint", ""), "cause": label}


def _disposition(data: Data) -> str:
    what = data.get("disposition", "")
    label = Disposition(what).label if what in Disposition.values else what
    told = _("Nonconformance %(number)s: %(what)s") % {"number": data.get("number"), "what": label}
    if not data.get("part_number"):
        return told
    spoiled = {"told": told, "pieces": data.get("pieces"), "part": data.get("part_number")}
    return _("%(told)s; %(pieces)s of %(part)s missing again") % spoiled


def _stands(data: Data) -> str:
    stands = data.get("stands", "")
    label = Stands(stands).label if stands in Stands.values else stands
    return _("The car stands %(stands)s") % {"stands": label}


def _entry(words: str) -> Callable[[Data], str]:
    """What became of an entry that was not recorded; where it was about an operation, with its code."""

    def told(data: Data) -> str:
        said = _(words) % {"kind": kind_words(str(data.get("kind", "")))}
        code = str(data.get("subject", "")).partition("/")[0]
        return f"{code} {said}" if code[:1].isupper() else said

    return told


def _at(words: str) -> Callable[[Data], str]:
    return lambda data: _(words) % {"code": data.get("operation")}


def _numbered(words: str) -> Callable[[Data], str]:
    return lambda data: _(words) % {"number": data.get("number", data.get("mark"))}


def _added(data: Data) -> str:
    words = {"code": data.get("operation"), "before": data.get("before")}
    if data.get("before"):
        return _("%(code)s was added for this car, before %(before)s") % words
    return _("%(code)s was added for this car, at the end of the route") % words


WORDS: Mapping[str, Callable[[Data], str]] = {
    "job.opened": lambda d: (
        _("The job was opened on %(procedure)s with kit %(kit)s")
        % {"procedure": d.get("procedure"), "kit": d.get("kit_order")}
    ),
    "job.stands": _stands,
    "job.released": lambda d: _("The car was released"),
    "job.changed_over": lambda d: _("The car was changed over to a newer revision of its procedure"),
    "revision.decided": lambda d: (
        _("It was decided about revision %(to)s of the procedure") % {"to": d.get("to")}
    ),
    "weld.made": lambda d: (
        _("Weld %(weld)s was made at %(code)s") % {"weld": d.get("weld"), "code": d.get("operation")}
    ),
    "job.promised": lambda d: _("The day that was promised was changed"),
    "job.assigned": lambda d: _("Somebody was put onto the car"),
    "job.taken_off": lambda d: _("Somebody was taken off the car"),
    "job.customer_moved": lambda d: _("The job went to the customer that its own was merged into"),
    "job.vehicle_moved": lambda d: _("The job went to the car that its own was merged into"),
    "operation.waiting": _at(gettext_noop("%(code)s is to be done")),
    "operation.in_work": _at(gettext_noop("%(code)s is in work")),
    "operation.finished": _at(gettext_noop("%(code)s is finished")),
    "operation.not_applicable": _at(gettext_noop("%(code)s does not apply to this car")),
    "operation.omitted": _at(gettext_noop("%(code)s was left out by name")),
    "operation.taken_back": _at(gettext_noop("%(code)s is not left out any more")),
    "operation.added": _added,
    "deviation.issued": _numbered(gettext_noop("Deviation D%(number)s was issued")),
    "deviation.withdrawn": _numbered(gettext_noop("Deviation D%(number)s was withdrawn")),
    "condition.marked": _numbered(gettext_noop("Mark %(number)s was put on the car")),
    "condition.struck": _numbered(gettext_noop("Mark %(number)s was struck out")),
    "condition.reported": lambda d: _("The condition of the car was recorded"),
    "result.recorded": _result,
    "result.reopened": _reopened,
    "result.accepted": lambda d: _("%(code)s was accepted by name") % {"code": d.get("checkpoint")},
    "nonconformance.opened": lambda d: _("Nonconformance %(n)s was opened") % {"n": d.get("number")},
    "nonconformance.closed": lambda d: _("Nonconformance %(n)s was closed") % {"n": d.get("number")},
    "nonconformance.disposition": _disposition,
    **MONEY_WORDS,
    "gate.overridden": lambda d: (
        _("At %(code)s this was set aside: %(reason)s")
        % {"code": d.get("operation"), "reason": d.get("reason_code")}
    ),
    "document.asked": lambda d: _("A paper was asked for"),
    "document.issued": lambda d: _("A paper was made: issue %(issue)s") % {"issue": d.get("issue")},
    "document.failed": lambda d: _("A paper could not be made: issue %(issue)s") % {"issue": d.get("issue")},
    "photo.recorded": lambda d: _("A photo was taken"),
    "time.began": lambda d: _("At work on %(code)s") % {"code": d.get("operation")},
    "time.ended": lambda d: _("Left %(code)s") % {"code": d.get("operation")},
    "time.corrected": lambda d: _("Time at %(code)s was set right") % {"code": d.get("operation")},
    "note.written": lambda d: _("A note was written at %(code)s") % {"code": d.get("operation")},
    "note.handed_over": lambda d: _("%(code)s was handed over") % {"code": d.get("operation")},
    "lot.used": lambda d: (
        _("At %(code)s lot %(lot)s was used: %(what)s")
        % {"code": d.get("operation"), "lot": d.get("lot"), "what": d.get("what")}
    ),
    "cautions.seen": lambda d: _("The cautions of %(code)s were read") % {"code": d.get("operation")},
    "entry.refused": _entry(gettext_noop("refused: %(kind)s")),
    "entry.conflict": _entry(gettext_noop("came too late, after another entry: %(kind)s")),
}

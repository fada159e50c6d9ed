"""Who signed what on a job, by name: for whoever asks years later."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.fetching import EntryMark
from jobs.models import CheckpointKind
from jobs.record import JobRecord
from shop.models import Person

# What is neither work nor judgement: it is named by what it changed.
NOT_SIGNED_WORK = frozenset({"photo"})


@dataclass(frozen=True)
class Signatures:
    """One person with what they stand for."""

    person: Person
    certificates: tuple[str, ...]
    deeds: tuple[str, ...]


def signatures_of(record: JobRecord, marks: Iterable[EntryMark]) -> tuple[Signatures, ...]:
    """Everyone who signed an accepted entry of the job, in the order of their first; in two queries."""
    by_person: dict[int, list[EntryMark]] = defaultdict(list)
    for mark in marks:
        if mark.kind not in NOT_SIGNED_WORK:
            by_person[mark.signer_id].append(mark)
    people = Person.objects.prefetch_related("certificates").in_bulk(list(by_person))
    days = _days(record)
    return tuple(
        Signatures(
            people[key],
            _certificates(people[key], days),
            tuple(_deeds(record, own, _judged(record, key))),
        )
        for key, own in by_person.items()
    )


def _days(record: JobRecord) -> tuple[dt.date, dt.date]:
    """From the opening of the job to its release, or to the last result."""
    times = [r.recorded_at for c in record.checkpoints for r in c.results]
    last = record.job.released_at or max(times, default=record.job.opened_at)
    zone = record.zone
    return record.job.opened_at.astimezone(zone).date(), last.astimezone(zone).date()


def _certificates(person: Person, days: tuple[dt.date, dt.date]) -> tuple[str, ...]:
    first, last = days
    return tuple(
        _("%(certificate)s, valid %(first)s to %(last)s")
        % {"certificate": c, "first": f"{c.valid_from:%Y-%m-%d}", "last": f"{c.valid_until:%Y-%m-%d}"}
        for c in person.certificates.all()
        if c.valid_from <= last and c.valid_until >= first
    )


def _judged(record: JobRecord, person: int) -> tuple[str, ...]:
    """The welds that somebody judged."""
    return tuple(
        c.code
        for c in record.checkpoints
        if c.checkpoint.kind == CheckpointKind.WELD and any(r.person_id == person for r in c.results)
    )


def _deeds(record: JobRecord, marks: list[EntryMark], judged: tuple[str, ...]) -> Iterable[str]:
    subjects: dict[str, list[str]] = defaultdict(list)
    for mark in marks:
        subjects[mark.kind].append(mark.subject)
    holds = {o.code for o in record.operations if o.operation.is_hold_point}
    finished = subjects.get("finish", [])
    yield from _named(_("started"), subjects.get("start", []))
    yield from _named(_("finished"), [code for code in finished if code not in holds])
    yield from _named(_("passed the hold points"), [code for code in finished if code in holds])
    read = len(subjects.get("reading", [])) - len(judged)
    if read > 0:
        yield ngettext("recorded %(count)d result", "recorded %(count)d results", read) % {"count": read}
    yield from _named(_("judged the welds"), judged)
    yield from _named(_("witnessed at"), subjects.get("witness", []))
    for kind, words in _others().items():
        yield from _named(words, subjects.get(kind, []), with_codes=kind not in WHOLE_JOB)
    if "release" in subjects:
        yield _("released the car")


WHOLE_JOB = frozenset({"authority", "move"})


def _others() -> Mapping[str, str]:
    return {
        "authority": _("took down the customer's authority"),
        "problem": _("stopped for a problem at"),
        "disposition": _("decided about nonconformances at"),
        "rework_checked": _("looked at rework at"),
        "accept_close": _("accepted what was too close to call at"),
        "override": _("set gates aside at"),
        "loosen": _("loosened joints at"),
        "deviation": _("issued deviations at"),
        "omission": _("marked as not applicable"),
        "move": _("moved the car"),
    }


def _named(words: str, subjects: Iterable[str], *, with_codes: bool = True) -> Iterable[str]:
    found = list(dict.fromkeys(subjects))
    if found:
        yield f"{words} {', '.join(found)}" if with_codes else words

"""What must hold before a car is handed over, what will stand on its papers, and the release itself."""

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from uuid import UUID, uuid4

from django.utils.translation import gettext as _

from jobs.changes import Change, changes_of
from jobs.desk.forms import EntryForm, ReleaseForm
from jobs.desk.panel import href_of
from jobs.entry_kinds import who_may_enter
from jobs.gates.conditions import reasons_against_release
from jobs.models import Disposition, Job, Nonconformance, OperationState
from jobs.reasons import Reason
from jobs.record import CheckpointStanding, CheckState, JobRecord
from shop.models import Person

Href = Callable[[JobRecord, Reason], str]


@dataclass(frozen=True)
class OpenReason:
    """What is open, and the page on which it is put right; empty where there is none to go to."""

    reason: Reason
    href: str


@dataclass(frozen=True)
class Condition:
    """One thing that must hold: how far it is, and what is open of it."""

    title: str
    how_far: str
    open: tuple[OpenReason, ...]

    @property
    def holds(self) -> bool:
        return not self.open


@dataclass(frozen=True)
class OnThePapers:
    """What somebody stands for by name, as the handover papers will say it."""

    what: str
    operation: str
    at_checkpoint: str
    text: str
    reason: str
    person: Person | None
    second: Person | None
    at: dt.datetime | None
    ended: str = ""

    @property
    def code(self) -> str:
        return self.at_checkpoint or self.operation


@dataclass(frozen=True)
class ReleasePage:
    """The release of one car as `viewer` sees it."""

    record: JobRecord
    viewer: Person
    now: dt.datetime
    href: Href | None = None

    @classmethod
    def load(cls, job: Job, *, viewer: Person, now: dt.datetime, href: Href | None = None) -> "ReleasePage":
        return cls(JobRecord.load(job), viewer, now, href)

    @property
    def job(self) -> Job:
        return self.record.job

    @cached_property
    def against(self) -> list[Reason]:
        return [] if self.job.is_released else reasons_against_release(self.record, now=self.now)

    @cached_property
    def conditions(self) -> tuple[Condition, ...]:
        """Everything that must hold, whether it does or not."""
        record, told = self.record, self._told
        every = [o for o in record.operations if o.state != OperationState.NOT_APPLICABLE]
        points = [c for o in every for c in o.checkpoints]
        found = record.nonconformances
        closed, settled = sum(c.is_closed for c in points), sum(not n.is_open for n in found)
        asked = [e for e in record.extra_works if e.withdrawn_at is None]
        answered = len(asked) - len(record.extra_work_waiting)
        critical = [line for line in record.kit.lines if line.is_critical]
        here = sum(not line.short for line in critical)
        return (
            told("authority", _("Authority to work"), _("recorded") if record.authorities else _("none")),
            told("operation", _("Operations finished"), _of(sum(o.is_done for o in every), len(every))),
            told("open", _("Checkpoints closed"), _of(closed, len(points))),
            told("nonconformance", _("Nonconformances closed"), _of(settled, len(found))),
            told("extra_work", _("Extra work answered"), _of(answered, len(asked))),
            told("short", _("Critical parts here"), _of(here, len(critical))),
            told("revision", _("Newer revision"), _waits(record.superseded)),
            told("kit_revision", _("Newer kit list"), _waits(record.newer_list)),
        )

    def _told(self, kind: str, title: str, how_far: str) -> Condition:
        mine = [reason for reason in self.against if reason.code.partition(":")[0] == kind]
        return Condition(title, how_far, tuple(OpenReason(r, self._way(r)) for r in mine))

    def _way(self, reason: Reason) -> str:
        if self.href is not None:
            return self.href(self.record, reason)
        return href_of(self.record, reason, viewer=self.viewer)

    @cached_property
    def on_the_papers(self) -> tuple[OnThePapers, ...]:
        """Set aside, changed, decided, accepted, typed in: in the order of the handover papers."""
        record = self.record
        decided = (n for n in record.nonconformances if n.disposition)
        return (
            *(_decision(row) for row in sorted(decided, key=_as_is_first)),
            *(_change(change) for change in changes_of(record)),
            *_overrides(record),
            *(_accepted(c) for c in record.checkpoints if c.state == CheckState.ACCEPTED),
            *(_typed_in(c) for c in record.checkpoints if c.current and c.current.typed_in),
        )

    @property
    def saw(self) -> UUID | None:
        """The last entry about the release that whoever looks has seen."""
        return self.record.saw("release")

    @property
    def entry_id(self) -> UUID:
        """An identity for an entry where no script makes one; each use is another."""
        return uuid4()

    @property
    def may_release(self) -> bool:
        """By role; and nothing is open."""
        allowed = self.viewer.role in who_may_enter("release")
        return allowed and not self.job.is_released and not self.against

    @cached_property
    def form(self) -> EntryForm | None:
        return ReleaseForm(self.record, "release") if self.may_release else None


def _waits(newer: object | None) -> str:
    return _("waits for a decision") if newer is not None else _("none waits")


def _of(done: int, every: int) -> str:
    return _("%(done)d of %(every)d") % {"done": done, "every": every} if every else _("none")


def _as_is_first(row: Nonconformance) -> tuple[bool, int]:
    return row.disposition != Disposition.USE_AS_IS, row.number


def _decision(row: Nonconformance) -> OnThePapers:
    label = str(row.get_disposition_display())
    return OnThePapers(
        what=_("Nonconformance %(number)d, %(what)s") % {"number": row.number, "what": label},
        operation=row.job_operation.operation.code,
        at_checkpoint=row.checkpoint.code if row.checkpoint else "",
        text=row.text,
        reason=row.disposition_reason,
        person=row.disposition_by,
        second=row.second,
        at=row.closed_at or row.opened_at,
    )


def _change(change: Change) -> OnThePapers:
    return OnThePapers(
        what=change.name,
        operation=change.operation,
        at_checkpoint=change.checkpoint,
        text=change.text,
        reason=change.reason,
        person=change.person,
        second=change.second,
        at=change.at,
        ended=change.ended,
    )


def _overrides(record: JobRecord) -> Iterator[OnThePapers]:
    for row in record.overrides:
        code = row.job_operation.operation.code if row.job_operation else ""
        what = _("Set aside by name")
        yield OnThePapers(what, code, "", row.reason_text, row.reason, row.person, None, row.at)


def _accepted(standing: CheckpointStanding) -> OnThePapers:
    result = standing.current
    taken = getattr(result, "acceptance", None)
    return OnThePapers(
        what=_("Accepted by name"),
        operation=standing.job_operation.operation.code,
        at_checkpoint=standing.code,
        text=f"{standing.checkpoint.title}: {result.get_verdict_display() if result else ''}",
        reason=taken.reason if taken else "",
        person=taken.person if taken else None,
        second=taken.second if taken else None,
        at=result.recorded_at if result else None,
    )


def _typed_in(standing: CheckpointStanding) -> OnThePapers:
    result = standing.current
    words = _("typed in by %(who)s from a sheet filled by hand") % {"who": result.typed_in if result else ""}
    return OnThePapers(
        what=_("Typed in"),
        operation=standing.job_operation.operation.code,
        at_checkpoint=standing.code,
        text=standing.checkpoint.title,
        reason=words,
        person=result.person if result else None,
        second=None,
        at=result.recorded_at if result else None,
    )

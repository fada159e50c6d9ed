"""One car as the floor and the week show it: how far it is, what it waits for, whether it will be late."""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.desk.progress import rule_of
from jobs.desk.rule_picture import SMALL, RulePicture
from jobs.desk.waiting import Wait, waits_of
from jobs.models import Assignment, Job, Stands
from jobs.need import ready_date
from jobs.record import JobRecord, OperationStanding
from parts.standing import LineStanding


@dataclass(frozen=True)
class CarRow:
    """One car with all that its row says, worked out when asked for."""

    record: JobRecord
    now: dt.datetime
    people: tuple[Assignment, ...] = ()

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def in_hand(self) -> OperationStanding | None:
        return self.record.in_hand

    @cached_property
    def rule(self) -> RulePicture:
        return rule_of(self.record, now=self.now, size=SMALL)

    @cached_property
    def waits(self) -> tuple[Wait, ...]:
        return waits_of(self.record, now=self.now)

    @property
    def first_wait(self) -> Wait | None:
        return self.waits[0] if self.waits else None

    @property
    def more_waits(self) -> str:
        more = len(self.waits) - 1
        return ngettext("and %(more)d more", "and %(more)d more", more) % {"more": more} if more > 0 else ""

    @property
    def is_stopped(self) -> bool:
        return any(wait.stops for wait in self.waits)

    @property
    def shortages(self) -> tuple[LineStanding, ...]:
        """What is missing of a counted kit, the critical first."""
        if not self.record.kit.is_counted:
            return ()
        return tuple(sorted(self.record.kit.shortages, key=lambda line: not line.is_critical))

    @property
    def shortage_words(self) -> str:
        """The kit's shortages in one line, unless the car waits for one; the rest counted."""
        if not self.shortages or any(wait.is_shortage for wait in self.waits):
            return ""
        line = self.shortages[0]
        when = _("no date") if line.eta is None else f"{line.eta.day} {line.eta:%b}"
        words = _("%(short)d of %(part)s %(name)s short for %(operation)s, expected: %(when)s") % {
            "short": line.short,
            "part": line.part_number,
            "name": line.description,
            "operation": line.operation or "?",
            "when": when,
        }
        more = len(self.shortages) - 1
        return words + (
            ngettext("; %(more)d other part", "; %(more)d other parts", more) % {"more": more} if more else ""
        )

    @property
    def days_blocked(self) -> int:
        """Days that it has stood on stands, where it can't be moved and blocks its bay."""
        if self.job.stands != Stands.ON_STANDS:
            return 0
        zone = self.record.zone
        return (self.now.astimezone(zone).date() - self.job.stands_since.astimezone(zone).date()).days

    @property
    def is_on_stands(self) -> bool:
        return self.job.stands == Stands.ON_STANDS

    @cached_property
    def ready_on(self) -> dt.date:
        return ready_date(self.record, now=self.now)

    @property
    def days_late(self) -> int:
        """By how many days it misses its promise if work goes on without a wait."""
        promised = self.job.promised_on
        return max(0, (self.ready_on - promised).days) if promised else 0

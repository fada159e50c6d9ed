"""What a customer sees through the link: where the car is, when it can be ready, what waits for them."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any
from uuid import UUID, uuid4

from django.utils.translation import gettext as _

from jobs.customer_link.dates import in_words
from jobs.models import CustomerAnswer, CustomerLink, ExtraWork, Flag, Job, Stage
from jobs.money.account import Account, Issue
from jobs.money.estimates import subject_of as subject_of_estimate
from jobs.need import ready_date
from jobs.record import JobRecord


@dataclass(frozen=True)
class StageStep:
    """One stage of the route as the customer sees it."""

    label: str
    is_done: bool
    is_here: bool


@dataclass(frozen=True)
class Question:
    """Something that waits for the customer's yes or no."""

    subject: str
    number: int
    saw: str
    entry_id: UUID
    issue: Issue | None = None
    extra: ExtraWork | None = None

    @property
    def key(self) -> str:
        return self.subject.replace("/", "-")


@dataclass(frozen=True)
class CustomerPage:
    """The page behind one link. It names the car and nobody."""

    link: CustomerLink
    record: JobRecord
    account: Account
    now: dt.datetime

    @classmethod
    def load(cls, link: CustomerLink, *, now: dt.datetime) -> "CustomerPage":
        record = JobRecord.load(Job.objects.with_car().get(pk=link.job_id))
        return cls(link, record, Account.load(record), now)

    @property
    def job(self) -> Job:
        return self.record.job

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        if self.job.is_released:
            return ()
        return tuple(self._questions())

    def _questions(self) -> Iterator[Question]:
        offered = self.account.offered
        if offered is not None:
            subject = subject_of_estimate(offered.row)
            yield self._question(subject, offered.row.issue, issue=offered)
        for extra in self.record.extra_work_waiting:
            subject = f"extra_work/{extra.number}"
            yield self._question(subject, extra.number, extra=extra)

    def _question(self, subject: str, number: int, **about: Any) -> Question:
        return Question(subject, number, str(self.record.saw(subject) or ""), uuid4(), **about)

    @cached_property
    def stages(self) -> tuple[StageStep, ...]:
        """The stages of this car's route, in their order."""
        hand = self.record.in_hand
        steps = []
        for stage in Stage:
            of = [o for o in self.record.operations if o.operation.stage == stage]
            if of:
                here = hand is not None and hand.operation.stage == stage and not self.job.is_released
                steps.append(StageStep(str(stage.label), all(o.is_done for o in of), here))
        return tuple(steps)

    @property
    def where(self) -> str:
        """Where the car is, in a sentence."""
        hand = self.record.in_hand
        if self.job.is_released:
            return _("Your car is finished and has been released.")
        if hand is None:
            return _("All work is done; the last look is left.")
        stage = {"stage": Stage(hand.operation.stage).label}
        if not any(o.is_done or o.is_in_work for o in self.record.operations):
            return _("Your car has been booked in; work has not begun.")
        return _("Your car is in %(stage)s.") % stage

    @cached_property
    def earliest(self) -> dt.date:
        """What the standard times give, not before the last missing part, with what agreed work adds."""
        ready = ready_date(self.record, now=self.now)
        etas = [line.eta for line in self.record.kit.shortages if line.eta is not None]
        return max([ready, *etas]) + dt.timedelta(days=self._days_agreed)

    @property
    def _days_agreed(self) -> int:
        """Days that agreed extra work adds, unless its operation is on the route and counted there."""
        planned = {
            addition.extra_work_id
            for o in self.record.operations
            if (addition := getattr(o.job_operation, "addition", None)) is not None
        }
        agreed = (e for e in self.record.extra_works if e.answer == CustomerAnswer.YES)
        return sum(e.days_later for e in agreed if e.pk not in planned)

    @property
    def today(self) -> dt.date:
        return self.now.astimezone(self.record.zone).date()

    @property
    def no_date(self) -> str:
        """Why no date can be given; empty where one can."""
        if not self.record.authorities:
            return _("We can give a date once you have allowed the work.")
        if self.record.extra_work_waiting:
            return _("The date hangs on your answer above.")
        if self.record.open_nonconformances:
            return _("Something has to be put right first; we will know the date when it is.")
        if self.record.kit.is_counted and any(line.eta is None for line in self.record.kit.shortages):
            return _("A part is missing and its supplier has given no date yet.")
        return ""

    @property
    def ready_in(self) -> str:
        return in_words(self.today, self.earliest)

    @property
    def is_later_than_promised(self) -> bool:
        promised = self.job.promised_on
        return promised is not None and self.earliest > promised

    @property
    def cuts(self) -> bool:
        return self.record.cuts_structure

    @property
    def is_driven(self) -> bool:
        return any(o.does(Flag.DRIVEN) for o in self.record.operations)

    @property
    def agreed(self) -> tuple[ExtraWork, ...]:
        """Extra work that was answered, whichever way."""
        return tuple(e for e in self.record.extra_works if e.answer)

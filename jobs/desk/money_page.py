"""Everything about money on one job, as the desk sees it."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from jobs.desk.forms import EntryForm
from jobs.desk.money_forms import (
    AuthorityForm,
    EstimateAnswerForm,
    ExtraWorkAnswerForm,
    ExtraWorkForm,
    ExtraWorkWithdrawnForm,
    FoundWorkLeftForm,
    PaymentForm,
)
from jobs.models import CustomerLink, ExtraWork, FoundWork, Job
from jobs.money.account import Account
from jobs.money.amounts import half_up
from jobs.money.costs import JobCost, cost_of
from jobs.money.estimates import subject_of
from jobs.record import JobRecord
from jobs.recording.authority import DESK_ROLES
from jobs.recording.extra_work import ASKING_ROLES
from jobs.recording.extra_work import subject_of as subject_of_extra
from jobs.recording.payments import TILL_ROLES
from shop.models import Person

# Who sees what a job costs and earns.
MONEY_ROLES = DESK_ROLES


@dataclass(frozen=True)
class ExtraWorkRow:
    """A piece of extra work with what the desk may record about it."""

    row: ExtraWork
    answer: EntryForm | None
    withdraw: EntryForm | None


@dataclass(frozen=True)
class FoundWorkRow:
    """What was met at the car and waits to be priced, with what the desk may do about it."""

    row: FoundWork
    ask: EntryForm | None
    leave: EntryForm | None


@dataclass(frozen=True)
class LinkRow:
    """A private link as the desk sees it."""

    row: CustomerLink
    now: dt.datetime

    @property
    def holds(self) -> bool:
        return self.row.revoked_at is None and self.row.expires_at > self.now


@dataclass(frozen=True)
class MoneyPage:
    record: JobRecord
    account: Account
    cost: JobCost
    links: tuple[LinkRow, ...]
    viewer: Person
    now: dt.datetime

    @classmethod
    def load(cls, job: Job, *, viewer: Person, now: dt.datetime) -> "MoneyPage":
        record = JobRecord.load(job)
        links = tuple(LinkRow(row, now) for row in job.links.select_related("made_by"))
        return cls(record, Account.load(record), cost_of(record, now=now), links, viewer, now)

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def may_change(self) -> bool:
        """Whether the viewer writes estimates, issues invoices and takes payments."""
        return self.viewer.role in TILL_ROLES

    @property
    def may_record(self) -> bool:
        """Whether the viewer records what the customer says, on a job that is still open."""
        return self.viewer.role in DESK_ROLES and not self.job.is_released

    @cached_property
    def authority_form(self) -> EntryForm | None:
        return AuthorityForm(self.record, "authority") if self.may_record else None

    @cached_property
    def extra_work_form(self) -> EntryForm | None:
        may_ask = self.viewer.role in ASKING_ROLES and not self.job.is_released
        return ExtraWorkForm(self.record, "extra_work") if may_ask else None

    @cached_property
    def extra_works(self) -> tuple[ExtraWorkRow, ...]:
        return tuple(self._extra_work(row) for row in self.record.extra_works)

    def _extra_work(self, row: ExtraWork) -> ExtraWorkRow:
        if not (row.is_waiting and self.may_record):
            return ExtraWorkRow(row, None, None)
        subject, initial = subject_of_extra(row), {"p_extra_work": str(row.number)}
        return ExtraWorkRow(
            row,
            ExtraWorkAnswerForm(self.record, subject, initial=initial),
            ExtraWorkWithdrawnForm(self.record, subject, initial=initial),
        )

    @cached_property
    def found_works(self) -> tuple[FoundWorkRow, ...]:
        return tuple(self._found(row) for row in self.record.found_works if row.is_waiting)

    def _found(self, row: FoundWork) -> FoundWorkRow:
        if not self.may_record:
            return FoundWorkRow(row, None, None)
        number = str(row.number)
        asking = {
            "p_found_work": number,
            "p_text": row.text,
            "p_operation": row.job_operation.operation.code,
            "p_hours": str(half_up(Decimal(row.minutes) / 60)),
            "p_photos": " ".join(row.photo_ids),
        }
        return FoundWorkRow(
            row,
            ExtraWorkForm(self.record, "extra_work", key=number, initial=asking),
            FoundWorkLeftForm(self.record, f"found_work/{number}", initial={"p_found_work": number}),
        )

    @cached_property
    def estimate_form(self) -> EntryForm | None:
        offered = self.account.offered
        if offered is None or not self.may_record:
            return None
        return EstimateAnswerForm(
            self.record, subject_of(offered.row), initial={"p_estimate": str(offered.row.issue)}
        )

    @cached_property
    def payment_form(self) -> EntryForm | None:
        return PaymentForm(self.record, "payment") if self.may_change else None

    @property
    def may_ask_deposit(self) -> bool:
        current, account = self.account.current, self.account
        accepted = current is not None and current.is_accepted and bool(current.deposit)
        return self.may_change and accepted and not account.deposit and not account.closing

    @property
    def may_close(self) -> bool:
        return self.may_change and self.account.closing is None

    @property
    def currency(self) -> str:
        return self.record.settings.currency

"""How a job stands in money: what was estimated, allowed, agreed on the way, invoiced and paid."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from jobs.models import (
    Authority,
    CustomerAnswer,
    Estimate,
    EstimateState,
    ExtraWork,
    Invoice,
    InvoiceKind,
    Payment,
)
from jobs.money.amounts import Totals, percent_of, totals_of
from jobs.money.estimates import in_force
from jobs.record import JobRecord

ZERO = Decimal("0.00")


@dataclass(frozen=True)
class Issue:
    """An estimate with what it comes to."""

    row: Estimate
    totals: Totals

    @property
    def deposit(self) -> Decimal:
        return percent_of(self.totals.gross, self.row.deposit_percent)

    @property
    def is_draft(self) -> bool:
        return self.row.state == EstimateState.DRAFT

    @property
    def is_offered(self) -> bool:
        return self.row.state == EstimateState.OFFERED

    @property
    def is_accepted(self) -> bool:
        return self.row.state == EstimateState.ACCEPTED


@dataclass(frozen=True)
class Allowed:
    """Up to how much the customer has allowed the work, and what the shop means to do for it.

    An authority to the work of an estimate counts no more once a newer estimate was accepted; one without
    an amount is not added up, and is said to be there.
    """

    limit: Decimal
    has_limit: bool
    unlimited: int
    estimate: Decimal
    extra: Decimal
    waiting: Decimal

    @property
    def agreed(self) -> Decimal:
        return self.estimate + self.extra

    @property
    def beyond(self) -> Decimal:
        """By how much estimate and agreed extra work go beyond what was allowed; zero where they do not."""
        return max(ZERO, self.agreed - self.limit) if self.has_limit and not self.unlimited else ZERO


@dataclass(frozen=True)
class Account:
    """Everything about money on one job."""

    issues: tuple[Issue, ...]
    invoices: tuple[Invoice, ...]
    payments: tuple[Payment, ...]
    allowed: Allowed

    @classmethod
    def load(cls, record: JobRecord) -> "Account":
        """In four queries."""
        job = record.job
        estimates = list(job.estimates.select_related("made_by").prefetch_related("lines"))
        return cls(
            issues=tuple(issue_of(row) for row in estimates),
            invoices=tuple(job.invoices.select_related("issued_by", "credits", "credited_by")),
            payments=tuple(job.payments.select_related("received_by", "invoice")),
            allowed=allowed_of(record.authorities, record.extra_works, estimates),
        )

    @property
    def current(self) -> Issue | None:
        """The issue that holds: accepted, else offered."""
        found = in_force([issue.row for issue in self.issues])
        return next((issue for issue in self.issues if issue.row is found), None)

    @property
    def draft(self) -> Issue | None:
        return next((issue for issue in self.issues if issue.is_draft), None)

    @property
    def offered(self) -> Issue | None:
        return next((issue for issue in self.issues if issue.is_offered), None)

    @property
    def paid(self) -> Decimal:
        return sum((payment.amount for payment in self.payments), ZERO)

    @property
    def closing(self) -> Invoice | None:
        return self._standing(InvoiceKind.CLOSING)

    @property
    def deposit(self) -> Invoice | None:
        return self._standing(InvoiceKind.DEPOSIT)

    @property
    def due(self) -> Decimal:
        """What is to be paid now: the closing invoice, before it the deposit, less what was paid."""
        asked = self.closing or self.deposit
        return (asked.gross if asked else ZERO) - self.paid

    @property
    def is_asked(self) -> bool:
        return self.closing is not None or self.deposit is not None

    def _standing(self, kind: str) -> Invoice | None:
        return next((i for i in self.invoices if i.kind == kind and not hasattr(i, "credited_by")), None)


def issue_of(row: Estimate) -> Issue:
    totals = totals_of(row.lines.all(), tax_percent=row.tax_percent, taxed_kinds=row.taxed_kinds)
    return Issue(row, totals)


def allowed_of(
    authorities: Iterable[Authority], extra_works: Iterable[ExtraWork], estimates: Sequence[Estimate]
) -> Allowed:
    """The limits of the authorities that count, against the estimate in force and the extra work agreed."""
    counting = [a for a in authorities if a.estimate is None or a.estimate.state == EstimateState.ACCEPTED]
    limits = [a.amount_limit for a in counting if a.amount_limit is not None]
    found = in_force(estimates)
    extra = [e for e in extra_works if e.withdrawn_at is None]
    return Allowed(
        limit=sum(limits, ZERO),
        has_limit=bool(limits),
        unlimited=sum(a.amount_limit is None for a in counting),
        estimate=issue_of(found).totals.gross if found else ZERO,
        extra=sum((e.price for e in extra if e.answer == CustomerAnswer.YES), ZERO),
        waiting=sum((e.price for e in extra if not e.answer), ZERO),
    )

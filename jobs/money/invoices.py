"""Invoices and credit notes under the shop's own numbers: each once, none left out, none changed."""

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal

from django.db import models, transaction
from django.utils.translation import gettext as _

from jobs.models import EstimateState, Invoice, InvoiceKind, InvoiceLine, Job
from jobs.money.amounts import Totals, percent_of, totals_of
from jobs.money.estimates import Line, in_force, totals
from shop.events import append, lock_stream
from shop.models import Person, ShopSettings, TaxedKind

FIRST_NUMBER = 5001
# Whoever issues an invoice takes the end of this stream first: so numbers follow each other without a gap.
NUMBERS = "invoices"


class InvoiceError(Exception):
    """The invoice cannot be issued; `message` says why in the user's words."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


def stream_of(invoice: Invoice) -> str:
    return f"invoice/{invoice.number}"


@transaction.atomic
def issue_closing(
    job: Job, lines: Sequence[Line], *, note: str = "", by: Person, now: dt.datetime
) -> Invoice:
    """The closing invoice of a job: everything that was done, by the shop's rule of tax.

    Raises:
        InvoiceError: there is one already that no credit note has taken back, or it comes to nothing.
    """
    lock_stream(job.stream)
    standing = standing_of(job, InvoiceKind.CLOSING)
    if standing is not None:
        raise InvoiceError(
            _("Invoice %(number)d closes this job already; a credit note takes it back first")
            % {"number": standing.number}
        )
    estimate = in_force(list(job.estimates.all()))
    shop = ShopSettings.current()
    accepted = estimate is not None and estimate.state == EstimateState.ACCEPTED
    percent = estimate.tax_percent if estimate and accepted else shop.tax_percent
    kinds = list(estimate.taxed_kinds if estimate and accepted else shop.taxed_kinds)
    sums = totals_of(lines, tax_percent=percent, taxed_kinds=kinds)
    if not sums.net:
        raise InvoiceError(_("An invoice that comes to nothing cannot be issued"))
    made = _number(job, InvoiceKind.CLOSING, sums, percent, kinds, note=note, by=by, now=now)
    return _lay_down(made, lines, by=by, now=now)


@transaction.atomic
def issue_deposit(job: Job, *, by: Person, now: dt.datetime) -> Invoice:
    """Ask for the deposit of the estimate in force. Its tax stands on the closing invoice.

    Raises:
        InvoiceError: no estimate was accepted, it asks for no deposit, or it was asked for already.
    """
    lock_stream(job.stream)
    standing = standing_of(job, InvoiceKind.DEPOSIT)
    if standing is not None:
        raise InvoiceError(_("Invoice %(number)d asks for it already") % {"number": standing.number})
    if standing_of(job, InvoiceKind.CLOSING) is not None:
        raise InvoiceError(_("The closing invoice is issued; there is nothing to be paid in advance"))
    estimate = in_force(list(job.estimates.all()))
    if estimate is None or estimate.state != EstimateState.ACCEPTED:
        raise InvoiceError(_("A deposit is asked for once the customer has accepted an estimate"))
    asked = percent_of(totals(estimate).gross, estimate.deposit_percent)
    if not asked:
        raise InvoiceError(_("Estimate %(issue)d asks for no deposit") % {"issue": estimate.issue})
    words = {"percent": f"{estimate.deposit_percent.normalize():f}", "issue": estimate.issue}
    text = _("Deposit, %(percent)s %% of estimate %(issue)d") % words
    line = Line(TaxedKind.LABOUR, text, Decimal(1), _("once"), asked)
    made = _number(
        job, InvoiceKind.DEPOSIT, Totals(asked, Decimal(0), Decimal(0)), Decimal(0), [], by=by, now=now
    )
    return _lay_down(made, [line], by=by, now=now)


@transaction.atomic
def credit(invoice: Invoice, *, reason: str, by: Person, now: dt.datetime) -> Invoice:
    """Take an invoice back, whole, by a credit note under a number of its own.

    Raises:
        InvoiceError: it was taken back already, or is a credit note itself.
    """
    lock_stream(invoice.job.stream)
    current = Invoice.objects.select_related("job").prefetch_related("lines").get(pk=invoice.pk)
    if current.kind == InvoiceKind.CREDIT:
        raise InvoiceError(_("A credit note is not taken back; issue the invoice anew"))
    taken_back = Invoice.objects.filter(credits=current).first()
    if taken_back is not None:
        raise InvoiceError(
            _("Credit note %(number)d has taken it back already") % {"number": taken_back.number}
        )
    made = _number(
        current.job,
        InvoiceKind.CREDIT,
        Totals(-current.net, Decimal(0), -current.tax),
        current.tax_percent,
        current.taxed_kinds,
        note=reason,
        credits=current,
        by=by,
        now=now,
    )
    lines = [
        Line(row.kind, row.text, row.quantity, row.unit, row.price_each, row.operation)
        for row in current.lines.all()
    ]
    append(
        stream=stream_of(current),
        kind="invoice.credited",
        data={"by": by.pk, "number": current.number, "credit_note": made.number},
        now=now,
    )
    return _lay_down(made, lines, by=by, now=now)


def standing_of(job: Job, kind: str) -> Invoice | None:
    """The invoice of that kind that holds: the one that no credit note has taken back."""
    return job.invoices.filter(kind=kind, credited_by=None).first()


def _number(
    job: Job,
    kind: str,
    sums: Totals,
    percent: Decimal,
    taxed_kinds: Sequence[str],
    *,
    by: Person,
    now: dt.datetime,
    note: str = "",
    credits: Invoice | None = None,
) -> Invoice:
    """The invoice under the next number; given back with the transaction where that fails."""
    lock_stream(NUMBERS)
    taken = Invoice.objects.aggregate(top=models.Max("number"))["top"]
    return Invoice.objects.create(
        number=(taken or FIRST_NUMBER - 1) + 1,
        kind=kind,
        job=job,
        credits=credits,
        net=sums.net,
        tax=sums.tax,
        gross=sums.gross,
        tax_percent=percent,
        taxed_kinds=list(taxed_kinds),
        note=note,
        issued_by=by,
        issued_at=now,
    )


def _lay_down(made: Invoice, lines: Sequence[Line], *, by: Person, now: dt.datetime) -> Invoice:
    rows = [
        InvoiceLine.objects.create(
            invoice=made,
            position=position,
            kind=line.kind,
            operation=line.operation,
            text=line.text,
            quantity=line.quantity,
            unit=line.unit,
            price_each=line.price_each,
        )
        for position, line in enumerate(lines, start=1)
    ]
    data = {"by": by.pk, "number": made.number, "kind": made.kind, "job": made.job.number}
    append(stream=made.job.stream, kind="invoice.issued", data=data, now=now, rows=[made, *rows])
    append(stream=NUMBERS, kind="invoice.numbered", data=data, now=now)
    append(stream=stream_of(made), kind="invoice.issued", data=data, now=now)
    return made

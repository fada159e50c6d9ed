"""An invoice or credit note as a paper. It goes by a stream of its own, for it tells of one number alone."""

from decimal import Decimal

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.models import Invoice, InvoiceKind
from jobs.papers.letter import Letter, number_in
from shop.documents.kinds import Paper, PaperError, Subject
from shop.documents.models import Document
from shop.models import TaxedKind

LINES_ON_A_PAGE = 34


def invoice_subject(stream: str) -> Subject | None:
    found = _found(stream)
    if found is None:
        return None
    words = {
        "kind": str(found.get_kind_display()).capitalize(),
        "number": found.number,
        "job": found.job.number,
        "car": found.job.vehicle,
    }
    return Subject(
        _("%(kind)s %(number)s, job %(job)s, %(car)s") % words, reverse("jobs:money", args=[found.job.number])
    )


def build_invoice(document: Document) -> Paper:
    """Read one invoice; what was paid before the paper was asked for is taken off on it."""
    invoice = _found(document.stream)
    if invoice is None:
        raise PaperError(_("There is no such invoice: %s") % document.stream)
    lines = list(invoice.lines.all())
    paid = invoice.job.payments.filter(received_at__lte=document.asked_at).aggregate(
        sum=models.Sum("amount")
    )["sum"] or Decimal(0)
    closes = invoice.kind == InvoiceKind.CLOSING
    taxed = [str(TaxedKind(k).label) for k in invoice.taxed_kinds if k in TaxedKind.values]
    context = {
        "letter": Letter.about(document, invoice.job),
        "invoice": invoice,
        "lines": lines,
        "taxed": ", ".join(taxed),
        "paid": paid if closes else None,
        "left": invoice.gross - paid if closes else None,
        "credited_by": Invoice.objects.filter(credits=invoice).first(),
    }
    title = _("%(kind)s %(number)s") % {"kind": invoice.get_kind_display(), "number": invoice.number}
    return Paper("print/invoice.html", context, title.capitalize(), 1 + len(lines) // LINES_ON_A_PAGE)


def _found(stream: str) -> Invoice | None:
    number = number_in(stream, "invoice")
    rows = Invoice.objects.select_related("job__customer", "job__vehicle", "credits", "issued_by")
    return rows.filter(number=number).first() if number is not None else None

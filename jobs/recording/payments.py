"""Money that came in for a job, or was given back; the customer's answer to an estimate."""

from decimal import Decimal
from typing import Any

from django.db import models
from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.entry_kinds import who_may_enter
from jobs.models import (
    Authority,
    AuthorityWay,
    Estimate,
    EstimateState,
    Invoice,
    InvoiceKind,
    Payment,
    PaymentWay,
)
from jobs.money.amounts import totals_of, written
from jobs.money.estimates import answer_offer, subject_of
from jobs.recording.authority import (
    amount,
    answer_of,
    given_by,
    link_of,
    photo_of_paper,
    tell_authority,
    way_of,
)
from jobs.recording.work import Work
from shop.entries import Refused

TILL_ROLES = who_may_enter("payment")


def payment(work: Work) -> dict[str, Any]:
    """Record money received, or given back."""
    given = amount(work, "amount", needed=True) or Decimal(0)
    if not given:
        raise BadInput({"amount": _("Enter an amount above zero")})
    way = str(work.payload.get("way", ""))
    if way not in PaymentWay.values:
        raise BadInput({"way": _("Say how it was paid")})
    back = work.payload.get("direction") == "back"
    if back:
        _require_paid(work, given)
    made = Payment.objects.create(
        job=work.job,
        invoice=_invoice(work),
        amount=-given if back else given,
        way=way,
        note=str(work.payload.get("note", "")).strip()[:200],
        received_at=work.now,
        received_by=work.signer,
        entry=work.entry,
    )
    work.tell("payment.recorded", {"amount": str(made.amount), "way": way}, made)
    return {"amount": str(made.amount)}


def _require_paid(work: Work, given: Decimal) -> None:
    paid = work.job.payments.aggregate(sum=models.Sum("amount"))["sum"] or Decimal(0)
    if given > paid:
        raise BadInput(
            {"amount": _("Only %(paid)s was paid; no more can be given back") % {"paid": written(paid)}}
        )


def _invoice(work: Work) -> Invoice | None:
    number = str(work.payload.get("invoice", "")).strip()
    if not number:
        return None
    is_number = number.isascii() and number.isdecimal() and len(number) < 10
    found = work.job.invoices.filter(number=number).first() if is_number else None
    if found is None or found.kind == InvoiceKind.CREDIT:
        raise BadInput({"invoice": _("This job has no such invoice")})
    return found


def estimate_answer(work: Work) -> dict[str, Any]:
    """The customer's yes or no to an estimate. A yes is an authority up to its price."""
    link = link_of(work)
    found = _offered(work)
    answer, who = answer_of(work), given_by(work)
    way = AuthorityWay.LINK if link else way_of(work)
    for row, kind in answer_offer(found, yes=answer == "yes", now=work.now):
        work.tell(kind, {"estimate": row.issue}, row)
    if answer == "yes":
        lines = list(found.lines.all())
        totals = totals_of(lines, tax_percent=found.tax_percent, taxed_kinds=found.taxed_kinds)
        made = Authority.objects.create(
            job=work.job,
            scope=_("The work of estimate %(issue)d") % {"issue": found.issue},
            allows_cutting=work.record.cuts_structure
            and (link is not None or work.payload.get("allows_cutting") == "yes"),
            given_by=who,
            way=way,
            given_at=work.now,
            entry=work.entry,
            amount_limit=totals.gross,
            photo=None if link else photo_of_paper(work, way),
            link=link,
            estimate=found,
        )
        tell_authority(work, made)
    return {"estimate": found.issue, "answer": answer}


def _offered(work: Work) -> Estimate:
    issue = str(work.payload.get("estimate", ""))
    found = next((e for e in work.job.estimates.all() if str(e.issue) == issue), None)
    if found is None or work.subject != subject_of(found) or found.state == EstimateState.DRAFT:
        raise Refused(_("There is no estimate %(issue)s to be answered") % {"issue": issue[:10]})
    if found.state != EstimateState.OFFERED:
        raise Refused(
            _("Estimate %(issue)d is %(state)s already")
            % {"issue": found.issue, "state": found.get_state_display()}
        )
    return found

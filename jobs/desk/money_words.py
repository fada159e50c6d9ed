"""Events about money and the customer's word, told in words."""

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from jobs.models import InvoiceKind, PaymentWay

Data = Mapping[str, Any]


def _authority(data: Data) -> str:
    said = (
        _("The customer's authority was recorded; the car may be cut")
        if data.get("allows_cutting")
        else _("The customer's authority was recorded; it does not allow cutting")
    )
    limit = data.get("amount_limit")
    return _("%(said)s; up to %(limit)s") % {"said": said, "limit": limit} if limit else said


def _answered(data: Data) -> str:
    words = {"number": data.get("number")}
    if data.get("answer") == "yes":
        return _("The customer said yes to extra work %(number)s") % words
    return _("The customer said no to extra work %(number)s") % words


def _payment(data: Data) -> str:
    way = data.get("way", "")
    label = PaymentWay(way).label if way in PaymentWay.values else way
    return _("A payment was recorded: %(amount)s, %(way)s") % {"amount": data.get("amount"), "way": label}


def _invoice(data: Data) -> str:
    kind = data.get("kind", "")
    label = InvoiceKind(kind).label if kind in InvoiceKind.values else kind
    return _("Invoice %(number)s was issued: %(kind)s") % {"number": data.get("number"), "kind": label}


def _estimate(words: str) -> Callable[[Data], str]:
    return lambda data: _(words) % {"issue": data.get("estimate")}


def _extra(words: str) -> Callable[[Data], str]:
    return lambda data: _(words) % {"number": data.get("number")}


MONEY_WORDS: Mapping[str, Callable[[Data], str]] = {
    "authority.recorded": _authority,
    "estimate.drafted": _estimate(gettext_noop("The draft of estimate %(issue)s was saved")),
    "estimate.offered": _estimate(gettext_noop("Estimate %(issue)s was offered")),
    "estimate.accepted": _estimate(gettext_noop("The customer accepted estimate %(issue)s")),
    "estimate.declined": _estimate(gettext_noop("The customer declined estimate %(issue)s")),
    "estimate.replaced": _estimate(gettext_noop("Estimate %(issue)s was replaced by a newer one")),
    "extra_work.asked": _extra(gettext_noop("The customer was asked for extra work %(number)s")),
    "extra_work.answered": _answered,
    "extra_work.withdrawn": _extra(gettext_noop("Extra work %(number)s was withdrawn")),
    "found_work.told": lambda d: _("Work was found at %(code)s") % {"code": d.get("operation")},
    "found_work.left": _extra(gettext_noop("For work found, number %(number)s, the customer is not asked")),
    "found_work.asked": lambda d: (
        _("Work found, number %(number)s, became extra work %(extra)s")
        % {"number": d.get("number"), "extra": d.get("extra_work")}
    ),
    "payment.recorded": _payment,
    "invoice.issued": _invoice,
    "link.made": lambda d: _("A private link was made for the customer"),
    "link.revoked": lambda d: _("A private link was revoked"),
}

"""Erasing a customer on request: what is personal is blanked, the record stays and still verifies whole."""

import datetime as dt

from django.db import models, transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.customer_link.links import revoke_link
from jobs.models import Authority, CustomerLink, Job
from jobs.models.jobs import JobQuerySet
from shop.events import append
from shop.models import Customer, Entry, Person, Vehicle


class CannotEraseError(ValueError):
    """The customer cannot be erased now; the message says why."""


def why_not_erased(customer: Customer) -> str:
    """What stands against erasing, in words; empty where nothing does."""
    if customer.erased_at:
        return _("This customer was erased already")
    open_jobs = list(_jobs(customer).on_the_floor().order_by("number").values_list("number", flat=True))
    if open_jobs:
        words = ngettext(
            "Job %(numbers)s is still in work. Its papers need the name until it is handed over",
            "Jobs %(numbers)s are still in work. Their papers need the name until they are handed over",
            len(open_jobs),
        )
        return words % {"numbers": ", ".join(str(number) for number in open_jobs)}
    return ""


@transaction.atomic
def erase_customer(customer: Customer, *, by: Person, now: dt.datetime) -> None:
    """Blank name, phone, e-mail and plates, and the names in what the customer allowed; take back links.

    Raises:
        CannotEraseError: a job is in work, or it was done already.
    """
    customer = Customer.objects.get(pk=customer.pk)
    reason = why_not_erased(customer)
    if reason:
        raise CannotEraseError(reason)
    jobs = _jobs(customer)
    streams = [job.stream for job in jobs]
    Entry.objects.filter(stream__in=streams).exclude(personal={}).update(personal={})
    Authority.objects.filter(job__in=jobs).update(given_by="")
    _cars(customer).update(plate="")
    for link in CustomerLink.objects.filter(job__in=jobs, revoked_at=None).select_related("job"):
        revoke_link(link, by=by, now=now)
    rows = [customer, *Customer.objects.filter(merged_into=customer)]
    for row in rows:
        row.name = row.phone = row.email = ""
        row.erased_at = now
        row.save(update_fields=["name", "phone", "email", "erased_at"])
    append(
        stream="shop",
        kind="customer.erased",
        data={"by": by.pk, "customer": str(customer.reference)},
        now=now,
        rows=rows,
    )


def _jobs(customer: Customer) -> JobQuerySet:
    return Job.objects.filter(customer=customer)


def _cars(customer: Customer) -> "models.QuerySet[Vehicle]":
    """Their cars, and the rows that were merged into one of them."""
    return Vehicle.objects.filter(models.Q(customer=customer) | models.Q(merged_into__customer=customer))

"""Opening a job: whose car, which car, by which procedure, with which kit, promised when."""

import datetime as dt
from dataclasses import dataclass

from django.db import models, transaction
from django.utils.translation import gettext as _

from jobs.models import Job, JobOperation, ProcedureRevision
from parts.models import KitOrder
from shop.closures import closed_words, closure_of
from shop.events import append
from shop.models import Bay, Customer, Person, ShopSettings, Vehicle
from shop.revisions import RevisionState

FIRST_NUMBER = 1001


class CannotOpenError(ValueError):
    """The job cannot be opened so; `field` is what is the matter."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field
        self.message = message


@dataclass(frozen=True)
class Booking:
    """What is known of a car when it is booked in. A new customer or vehicle is saved with the job."""

    customer: Customer
    vehicle: Vehicle
    procedure_revision: ProcedureRevision
    kit_order: KitOrder
    promised_on: dt.date | None = None
    bay: Bay | None = None
    odometer: str = ""
    wishes: str = ""


def open_job(booking: Booking, *, by: Person, now: dt.datetime, number: int | None = None) -> Job:
    """Open a job on a released procedure revision, pinned to it, under the next number or a given one.

    Raises:
        CannotOpenError: the revision is not released, or fits another kit; the kit has a job already;
            the bay is taken.
    """
    _check(booking, today=ShopSettings.current().day_at(now))
    with transaction.atomic():
        booking.customer.save()
        booking.vehicle.customer = booking.customer
        booking.vehicle.save()
        job = Job.objects.create(
            number=number or next_number(),
            customer=booking.customer,
            vehicle=booking.vehicle,
            procedure_revision=booking.procedure_revision,
            kit_order=booking.kit_order,
            bay=booking.bay,
            stands_since=now,
            odometer=booking.odometer,
            wishes=booking.wishes,
            promised_on=booking.promised_on,
            opened_at=now,
            opened_by=by,
        )
        _lay_out_route(booking, job, by, now)
    return job


def _lay_out_route(booking: Booking, job: Job, by: Person, now: dt.datetime) -> None:
    """The operations of the job, and the event of its opening."""
    rows = JobOperation.objects.bulk_create(
        JobOperation(job=job, operation=operation, position=operation.position)
        for operation in booking.procedure_revision.operations.order_by("position")
    )
    append(
        stream=job.stream,
        kind="job.opened",
        data={
            "by": by.pk,
            "customer": str(booking.customer.reference),
            "procedure": str(booking.procedure_revision),
            "kit_order": booking.kit_order.number,
        },
        now=now,
        rows=[booking.customer, booking.vehicle, job, *rows],
    )


def next_number() -> int:
    """The next job number; numbers are never used again."""
    taken = Job.objects.aggregate(top=models.Max("number"))["top"]
    return (taken or FIRST_NUMBER - 1) + 1


def _check(booking: Booking, *, today: dt.date) -> None:
    revision, order = booking.procedure_revision, booking.kit_order
    if revision.state != RevisionState.RELEASED:
        raise CannotOpenError(
            "procedure_revision", _("%(revision)s is not released") % {"revision": revision}
        )
    if order.kit_revision.kit.code != revision.procedure.kit_code:
        raise CannotOpenError(
            "kit_order",
            _("%(procedure)s is for kit %(wanted)s; order %(order)s is for %(found)s")
            % {
                "procedure": revision.procedure.code,
                "wanted": revision.procedure.kit_code,
                "order": order.number,
                "found": order.kit_revision.kit.code,
            },
        )
    if Job.objects.filter(kit_order=order).exists():
        raise CannotOpenError(
            "kit_order", _("Kit order %(number)s belongs to another job") % {"number": order.number}
        )
    if booking.bay and booking.bay.jobs.filter(released_at=None).exists():
        raise CannotOpenError("bay", _("Another car stands in bay %(bay)s") % {"bay": booking.bay})
    closure = closure_of(booking.bay, on=today) if booking.bay else None
    if closure is not None:
        raise CannotOpenError("bay", closed_words(closure))

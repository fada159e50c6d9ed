"""Putting together what was booked in twice: jobs and cars move to the row that is kept.

Each job is evidence, so its own stream tells of its move; the shop's stream tells of the rest. What is
merged stays as a row that points to the one that is kept, so that old addresses lead there.
"""

import datetime as dt
from typing import TypeVar

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.customers.doubles import serial_key
from jobs.models import Job
from shop.events import append
from shop.models import Customer, Person, Vehicle

Row = TypeVar("Row", Customer, Vehicle)


class CannotMergeError(ValueError):
    """These two cannot be put together; the message says why."""


def kept_of(row: Row) -> Row:
    """The row that a merged one leads to; itself where it was not merged."""
    seen = set()
    while row.merged_into is not None and row.pk not in seen:
        seen.add(row.pk)
        row = row.merged_into
    return row


@transaction.atomic
def merge_customers(*, kept: Customer, other: Customer, by: Person, now: dt.datetime) -> None:
    """Move cars and jobs of `other` to `kept`; an empty phone or e-mail is filled from it.

    Raises:
        CannotMergeError: they are one already, or one of them was merged or erased meanwhile.
    """
    kept, other = (Customer.objects.get(pk=row.pk) for row in (kept, other))
    _check(kept, other)
    if kept.erased_at or other.erased_at:
        raise CannotMergeError(_("One of the two was erased; there is nobody left to put together"))
    for job in Job.objects.filter(customer=other).order_by("number"):
        job.customer = kept
        job.save(update_fields=["customer"])
        _tell_job(job, "job.customer_moved", str(other.reference), str(kept.reference), by, now)
    cars = list(Vehicle.objects.filter(customer=other))
    for car in cars:
        car.customer = kept
        car.save(update_fields=["customer"])
    kept.phone, kept.email = kept.phone or other.phone, kept.email or other.email
    kept.save(update_fields=["phone", "email"])
    led = [other, *Customer.objects.filter(merged_into=other)]
    for row in led:
        row.merged_into = kept
        row.save(update_fields=["merged_into"])
    append(
        stream="shop",
        kind="customer.merged",
        data={"by": by.pk, "kept": str(kept.reference), "merged": str(other.reference)},
        now=now,
        rows=[kept, *led, *cars],
    )


@transaction.atomic
def merge_vehicles(*, kept: Vehicle, other: Vehicle, by: Person, now: dt.datetime) -> None:
    """Move the jobs of `other` to `kept`. Each job keeps the customer who brought the car then.

    Raises:
        CannotMergeError: they are one already, one of them was merged meanwhile, or their serials differ.
    """
    kept, other = (Vehicle.objects.get(pk=row.pk) for row in (kept, other))
    _check(kept, other)
    if serial_key(kept.serial) != serial_key(other.serial):
        words = {"one": kept.serial, "two": other.serial}
        raise CannotMergeError(
            _("%(one)s and %(two)s are two cars by their serials; set a wrong one right first") % words
        )
    for job in Job.objects.filter(vehicle=other).order_by("number"):
        job.vehicle = kept
        job.save(update_fields=["vehicle"])
        _tell_job(job, "job.vehicle_moved", other.pk, kept.pk, by, now)
    kept.plate = kept.plate or other.plate
    kept.save(update_fields=["plate"])
    led = [other, *Vehicle.objects.filter(merged_into=other)]
    for row in led:
        row.merged_into = kept
        row.save(update_fields=["merged_into"])
    append(
        stream="shop",
        kind="vehicle.merged",
        data={"by": by.pk, "kept": kept.pk, "merged": other.pk},
        now=now,
        rows=[kept, *led],
    )


def _check(kept: Row, other: Row) -> None:
    if kept.pk == other.pk:
        raise CannotMergeError(_("These two are one already"))
    if kept.merged_into_id or other.merged_into_id:
        raise CannotMergeError(_("One of the two was put together with another meanwhile. Look again"))


def _tell_job(job: Job, kind: str, before: object, after: object, by: Person, now: dt.datetime) -> None:
    data = {"by": by.pk, "from": before, "to": after}
    append(stream=job.stream, kind=kind, data=data, now=now, rows=[job])

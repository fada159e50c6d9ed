"""What the parts counter asks about the cars that its kits are for."""

import datetime as dt
from collections.abc import Collection, Mapping

from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.models import Checkpoint, Job, OperationState
from jobs.need import need_date
from jobs.record import JobRecord
from parts.cars import Car, Needs
from shop.revisions import RevisionState


class KitCars:
    """The jobs of kit orders, in a number of queries that does not hang on how many there are."""

    def of_orders(self, orders: Collection[int]) -> Mapping[int, Car]:
        jobs = Job.objects.filter(kit_order__in=orders).select_related("vehicle")
        return {job.kit_order_id: _car(job) for job in jobs}

    def needs(self, orders: Collection[int], *, now: dt.datetime) -> Mapping[int, Needs]:
        jobs = list(Job.objects.on_the_floor().with_car().filter(kit_order__in=orders))
        records = JobRecord.load_many(jobs)
        return {job.kit_order_id: _needs(records[job.pk], now) for job in jobs}

    def orders_of(self, word: str) -> Collection[int]:
        return Job.objects.found_by(word).values_list("kit_order_id", flat=True)

    def safety_operations(self, kit: str) -> frozenset[str]:
        checkpoints = Checkpoint.objects.filter(
            operation__revision__procedure__kit_code=kit, operation__revision__state=RevisionState.RELEASED
        ).select_related("operation")
        return frozenset(c.operation.code for c in checkpoints if c.is_safety)


def _car(job: Job) -> Car:
    return Car(
        job=_("Job %(number)s") % {"number": job.number},
        url=reverse("jobs:job", args=[job.number]),
        words=str(job.vehicle),
        is_released=job.is_released,
    )


def _needs(record: JobRecord, now: dt.datetime) -> Needs:
    of_this_car = [o for o in record.operations if o.state != OperationState.NOT_APPLICABLE]
    today = now.astimezone(record.zone).date()
    return Needs(
        days={o.code: today if o.is_done else need_date(record, o, now=now) for o in of_this_car},
        started=frozenset(o.code for o in of_this_car if o.state != OperationState.WAITING),
    )

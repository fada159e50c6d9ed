"""What the parts counter asks about the cars that its kits are for."""

import datetime as dt
from collections.abc import Collection, Mapping

from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.models import Checkpoint, Job, OperationState
from jobs.need import need_date
from jobs.record import JobRecord
from jobs.recording.done_again import do_again
from jobs.recording.work import Work
from parts.cars import Car, Needs
from parts.models import KitOrder
from shop.events import lock_stream
from shop.models import Entry
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

    def do_again(
        self, order: KitOrder, operations: Collection[str], *, entry: Entry, reason: str, now: dt.datetime
    ) -> Mapping[str, str]:
        job = Job.objects.on_the_floor().with_car().filter(kit_order=order).first()
        if job is None or not operations:
            return {}
        lock_stream(job.stream)
        work = Work(JobRecord.load(job), "", entry, entry.signer, now, {})
        return do_again(work, operations, reason=reason)


def _car(job: Job) -> Car:
    return Car(
        job=_("Job %(number)s") % {"number": job.number},
        url=reverse("jobs:job", args=[job.number]),
        words=str(job.vehicle),
        is_released=job.is_released,
    )


def _needs(record: JobRecord, now: dt.datetime) -> Needs:
    of_this_car = [o for o in record.operations if o.state != OperationState.NOT_APPLICABLE]
    begun = frozenset(o.code for o in of_this_car if o.state != OperationState.WAITING)
    codes = frozenset().union(*(record.stands_for(o) for o in of_this_car))
    today = now.astimezone(record.zone).date()
    return Needs(
        days={code: _day(record, code, today, now) for code in codes},
        started=begun.union(*(record.stands_for(o) for o in of_this_car if o.code in begun)),
    )


def _day(record: JobRecord, code: str, today: dt.date, now: dt.datetime) -> dt.date:
    """When it is to be done, or to be done once more; today where all of it is done."""
    operation = record.still_to_do(code)
    return need_date(record, operation, now=now) if operation is not None else today

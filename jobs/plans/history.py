"""What the shop's own record says of how long work takes, how late parts come, how dates were kept."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from jobs.models import (
    BookedTime,
    CheckpointKind,
    Job,
    JobOperation,
    OperationState,
    PlannedCar,
    ProcedureRevision,
    Result,
    TimeCorrection,
)
from jobs.planning.forecast.scoring import Given, Score, scored
from jobs.planning.forecast.spread import Delivery, Done, fail_chance, lateness, learned
from jobs.plans.mapping import Mapped
from jobs.plans.route import WATCH
from parts.models import KitOrder
from shop.models import ShopSettings

if TYPE_CHECKING:
    from jobs.planning.forecast.draws import Uncertainty

# So many cars back: the shop of years ago was another one.
CARS_BACK = 200

LOOKS = (CheckpointKind.WITNESS, CheckpointKind.WELD)


def uncertainty_of(mapped: Mapped) -> "Uncertainty":
    """What is known about how the plan may go, in a fixed number of queries."""
    from jobs.planning.forecast.draws import Uncertainty

    every, by_supplier = lateness(deliveries())
    looks = Result.objects.filter(checkpoint__kind__in=LOOKS)
    failed = looks.filter(verdict="does_not_conform").count()
    procedures = dict(ProcedureRevision.objects.values_list("pk", "procedure"))
    kinds, suppliers = {}, {}
    orders = {
        row["job__number"]: row["kit_revision__kit__supplier__name"] or ""
        for row in KitOrder.objects.filter(job__released_at=None).values(
            "job__number", "kit_revision__kit__supplier__name"
        )
    }
    for name, whose in mapped.whose.items():
        kinds[name] = _kind(procedures.get(whose.standing.operation.revision_id), whose.standing.code)
        suppliers[name] = orders.get(whose.job.number, "")
    known = Uncertainty(
        spreads=learned(work_done()).widened(score().factor),
        kinds=kinds,
        lateness=every,
        by_supplier=by_supplier,
        suppliers=suppliers,
        fail_chance=fail_chance(looks=looks.count(), failed=failed),
    )
    return replace(known, fixed=frozenset(n for n, whose in mapped.whose.items() if whose.part == WATCH))


def _kind(procedure: int | None, code: str) -> str:
    return f"{procedure}/{code}"


def work_done() -> list[Done]:
    """Operations that are finished, with the time that was booked on them; no word of who."""
    cars = Job.objects.order_by("-number").values_list("pk", flat=True)[:CARS_BACK]
    operations = JobOperation.objects.filter(job__in=list(cars), state=OperationState.FINISHED)
    minutes = _minutes(operations.values_list("pk", flat=True))
    columns = (
        "pk",
        "job__number",
        "operation__revision__procedure",
        "operation__code",
        "operation__stage",
        "operation__standard_minutes",
    )
    return [
        Done(_kind(procedure, code), stage, str(number), standard, round(minutes[pk]))
        for pk, number, procedure, code, stage, standard in operations.values_list(*columns)
        if pk in minutes
    ]


def _minutes(operations: Iterable[int]) -> dict[int, float]:
    booked = BookedTime.objects.filter(job_operation__in=operations, ended_at__isnull=False)
    rows = TimeCorrection.objects.filter(booked__in=booked.values("pk")).order_by("pk")
    corrected = {row.booked_id: row for row in rows}
    minutes: dict[int, float] = defaultdict(float)
    for row in booked:
        counts = corrected.get(row.pk, row)
        if counts.ended_at is not None:
            minutes[row.job_operation_id] += (counts.ended_at - counts.began_at).total_seconds() / 60
    return minutes


def deliveries() -> list[Delivery]:
    """When each kit was expected, and when the first of it came."""
    zone = ZoneInfo(ShopSettings.current().zone)
    rows = KitOrder.objects.filter(expected_on__isnull=False, receipts__isnull=False).order_by(
        "pk", "receipts__received_at"
    )
    first: dict[int, Delivery] = {}
    for pk, supplier, expected, came in rows.values_list(
        "pk", "kit_revision__kit__supplier__name", "expected_on", "receipts__received_at"
    ):
        if expected is not None:
            first.setdefault(pk, Delivery(supplier or "", expected, _day(came, zone)))
    return list(first.values())


def dates_given() -> list[Given]:
    """Of each car that was handed over: what the first accepted plan with it said, and its day."""
    zone = ZoneInfo(ShopSettings.current().zone)
    rows = PlannedCar.objects.filter(job__released_at__isnull=False, likely_on__isnull=False)
    rows = rows.filter(plan__decided_at__isnull=False).order_by("plan__made_at", "plan__pk")
    first: dict[int, Given] = {}
    columns = ("job", "likely_on", "safe_on", "job__released_at")
    for job, likely, safe, released in rows.values_list(*columns):
        if likely is not None and safe is not None and released is not None:
            first.setdefault(job, Given(likely, safe, _day(released, zone)))
    return list(first.values())


def score() -> Score:
    return scored(dates_given())


def _day(moment: dt.datetime, zone: dt.tzinfo) -> dt.date:
    return moment.astimezone(zone).date()

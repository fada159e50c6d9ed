"""What a job has cost so far: booked time at the shop's rate, parts at their cost, against the estimate."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from jobs.models import BookedTime, EstimateLine, EstimateState, OperationState
from jobs.money.amounts import half_up, line_total
from jobs.record import JobRecord
from parts.models import KitLine, LocalPurchase
from shop.models import TaxedKind

HOUR = Decimal(3600)
BEGUN = frozenset({OperationState.IN_WORK, OperationState.FINISHED})
ZERO = Decimal("0.00")


@dataclass(frozen=True)
class OperationCost:
    """One operation: hours booked and parts issued, beside what was estimated for it."""

    code: str
    title: str
    hours: Decimal
    labour: Decimal
    parts: Decimal
    estimated_hours: Decimal
    estimated_labour: Decimal
    is_done: bool

    @property
    def is_over(self) -> bool:
        return self.hours > self.estimated_hours


@dataclass(frozen=True)
class JobCost:
    """What a job has cost so far. `uncosted` parts were issued without anybody knowing what they cost."""

    operations: tuple[OperationCost, ...]
    bought: Decimal
    uncosted: int
    estimated: Decimal
    estimated_labour: Decimal
    estimated_parts: Decimal

    @property
    def labour(self) -> Decimal:
        return sum((o.labour for o in self.operations), ZERO)

    @property
    def parts(self) -> Decimal:
        return sum((o.parts for o in self.operations), ZERO) + self.bought

    @property
    def total(self) -> Decimal:
        return self.labour + self.parts

    @property
    def hours(self) -> Decimal:
        return sum((o.hours for o in self.operations), ZERO)

    @property
    def estimated_hours(self) -> Decimal:
        return sum((o.estimated_hours for o in self.operations), ZERO)

    @property
    def is_over(self) -> bool:
        return bool(self.estimated) and self.total > self.estimated


def cost_of(record: JobRecord, *, now: dt.datetime) -> JobCost:
    return costs_of([record], now=now)[record.job.pk]


def costs_of(records: Iterable[JobRecord], *, now: dt.datetime) -> dict[int, JobCost]:
    """The cost of several jobs by their keys, in five queries, however many they are."""
    of = list(records)
    jobs = [record.job.pk for record in of]
    orders = [record.job.kit_order_id for record in of]
    seconds, estimated = _booked(jobs, now), _estimated(jobs)
    kits: dict[int, list[KitLine]] = defaultdict(list)
    for line in KitLine.objects.filter(revision__orders__in=orders).distinct():
        kits[line.revision_id].append(line)
    purchases: dict[int, list[LocalPurchase]] = defaultdict(list)
    for row in LocalPurchase.objects.filter(order__in=orders):
        purchases[row.order_id].append(row)
    return {
        record.job.pk: _cost(
            record,
            seconds,
            estimated.get(record.job.pk, ()),
            kits[record.job.kit_order.kit_revision_id],
            purchases[record.job.kit_order_id],
        )
        for record in of
    }


def _cost(
    record: JobRecord,
    seconds: Mapping[int, Decimal],
    estimated: Iterable[EstimateLine],
    kit: Iterable[KitLine],
    purchases: Iterable[LocalPurchase],
) -> JobCost:
    rows = list(estimated)
    parts, uncosted = _issued(record, kit, purchases)
    operations = []
    for o in record.operations:
        hours = half_up(seconds.get(o.job_operation.pk, Decimal(0)) / HOUR)
        mine = [row for row in rows if row.operation == o.code and row.kind == TaxedKind.LABOUR]
        operations.append(
            OperationCost(
                code=o.code,
                title=o.operation.title,
                hours=hours,
                labour=half_up(hours * record.settings.labour_rate),
                parts=parts.get(o.code, ZERO),
                estimated_hours=sum((row.quantity for row in mine), ZERO),
                estimated_labour=sum((line_total(row) for row in mine), ZERO),
                is_done=o.is_done,
            )
        )
    bought = [row for row in purchases if row.price_each is not None]
    return JobCost(
        operations=tuple(operations),
        bought=sum((half_up(row.quantity * (row.price_each or ZERO)) for row in bought), ZERO),
        uncosted=uncosted + sum(row.price_each is None for row in purchases),
        estimated=sum((line_total(row) for row in rows), ZERO),
        estimated_labour=sum((line_total(row) for row in rows if row.kind == TaxedKind.LABOUR), ZERO),
        estimated_parts=sum((line_total(row) for row in rows if row.kind != TaxedKind.LABOUR), ZERO),
    )


def _issued(
    record: JobRecord, kit: Iterable[KitLine], purchases: Iterable[LocalPurchase]
) -> tuple[dict[str, Decimal], int]:
    """The cost of the kit's pieces by the operation that has begun to use them; how many have none.

    Pieces that were bought elsewhere came in their stead and count at the price that was paid.
    """
    bought: dict[int, int] = defaultdict(int)
    for row in purchases:
        bought[row.kit_line_id] += row.quantity
    begun = {o.code for o in record.operations if o.state in BEGUN}
    parts: dict[str, Decimal] = defaultdict(lambda: ZERO)
    uncosted = 0
    for line in kit:
        from_kit = line.quantity - min(line.quantity, bought[line.pk])
        if line.operation not in begun or not from_kit:
            continue
        if line.unit_cost is None:
            uncosted += 1
        else:
            parts[line.operation] += half_up(from_kit * line.unit_cost)
    return parts, uncosted


def _booked(jobs: list[int], now: dt.datetime) -> dict[int, Decimal]:
    """Seconds booked by operation; the newest correction counts, what is still at work counts until now."""
    found: dict[int, Decimal] = defaultdict(Decimal)
    rows = BookedTime.objects.filter(job_operation__job__in=jobs).prefetch_related("corrections")
    for row in rows:
        corrections = list(row.corrections.all())
        began, ended = row.began_at, row.ended_at or now
        if corrections:
            began, ended = corrections[-1].began_at, corrections[-1].ended_at
        found[row.job_operation_id] += Decimal(max(0, int((ended - began).total_seconds())))
    return found


def _estimated(jobs: list[int]) -> dict[int, list[EstimateLine]]:
    """The lines of the estimate that each job is held against: the accepted one, else the offered."""
    found: dict[int, dict[str, list[EstimateLine]]] = defaultdict(lambda: defaultdict(list))
    states = [EstimateState.ACCEPTED, EstimateState.OFFERED]
    rows = EstimateLine.objects.filter(estimate__job__in=jobs, estimate__state__in=states)
    for row in rows.select_related("estimate"):
        found[row.estimate.job_id][row.estimate.state].append(row)
    return {job: by.get(EstimateState.ACCEPTED) or by[EstimateState.OFFERED] for job, by in found.items()}

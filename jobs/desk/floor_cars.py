"""The cars of the floor as drawn: each is worked out and drawn once, and kept until anything changes it.

What a car waits for comes from its whole record, much for sixty cars at every look. The row that was drawn
is kept under everything that it shows and hangs on: the job as it is, who is put onto it, the ends of its
streams and of the streams that all cars share. What hangs on the clock may be as old as everywhere.
"""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.core.cache import caches
from django.template.loader import render_to_string
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language

from jobs.assigning import assignments_of
from jobs.desk.car_row import CarRow
from jobs.models import Assignment, Job
from jobs.record import JobRecord
from shop.canonical import sha256_of
from shop.freshness import MOST_MINUTES_OLD, heads_of, shared_sequence

KEPT_S = 2 * 60 * MOST_MINUTES_OLD


@dataclass(frozen=True)
class FloorCar:
    """One car as its row is drawn, with what the line above the table counts."""

    bay_id: int | None
    row: SafeString
    is_stopped: bool
    is_on_stands: bool
    is_late: bool


def floor_cars(jobs: Sequence[Job], *, may_move: bool, now: dt.datetime) -> tuple[FloorCar, ...]:
    """The cars in the order of `jobs`, which come as `with_car`; two queries when nothing has changed."""
    assigned = assignments_of(jobs)
    keys = _keys(jobs, assigned, may_move, now)
    kept: dict[str, FloorCar] = caches["floor"].get_many(keys.values())
    missing = [job for job in jobs if keys[job.pk] not in kept]
    if missing:
        made = {keys[car.job.pk]: _drawn(car, may_move) for car in _rows(missing, assigned, now)}
        caches["floor"].set_many(made, KEPT_S)
        kept |= made
    return tuple(kept[keys[job.pk]] for job in jobs)


def _rows(
    jobs: Iterable[Job], assigned: Mapping[int, tuple[Assignment, ...]], now: dt.datetime
) -> list[CarRow]:
    records = JobRecord.load_many(jobs)
    return [CarRow(record, now, assigned.get(pk, ())) for pk, record in records.items()]


def _drawn(car: CarRow, may_move: bool) -> FloorCar:
    context = {"car": car, "bay": car.job.bay, "may_move": may_move}
    row = mark_safe(render_to_string("jobs/_floor_car.html", context))  # noqa: S308 a template's own output
    return FloorCar(car.job.bay_id, row, car.is_stopped, car.is_on_stands, bool(car.days_late))


def _keys(
    jobs: Sequence[Job], assigned: Mapping[int, tuple[Assignment, ...]], may_move: bool, now: dt.datetime
) -> dict[int, str]:
    heads = heads_of(stream for job in jobs for stream in (job.stream, job.kit_order.stream))
    tenth = int(now.timestamp()) // (60 * MOST_MINUTES_OLD)
    common = (shared_sequence(), tenth, get_language(), may_move)
    columns = [field.attname for field in Job._meta.concrete_fields]
    keys = {}
    for job in jobs:
        people = [(on.pk, str(on.person), on.job_operation_id) for on in assigned.get(job.pk, ())]
        shown = (str(job.vehicle), str(job.customer), str(job.bay), people)
        ends = (heads.get(job.stream, ""), heads.get(job.kit_order.stream, ""))
        values = [getattr(job, name) for name in columns]
        keys[job.pk] = sha256_of(repr((common, values, shown, ends)).encode())
    return keys

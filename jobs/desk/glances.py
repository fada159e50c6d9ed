"""Where each car of a list is and what it waits for, at one look.

Worked out from the whole record of a job, which is much for fifty rows. So it is kept until anything is
recorded: every change writes an event, and the ends of the streams that a car hangs on are the key. What
hangs on the clock may be as old as everywhere (`MOST_MINUTES_OLD`).
"""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.core.cache import caches
from django.urls import reverse
from django.utils.translation import get_language

from jobs.desk.progress import where_is_it
from jobs.desk.waiting import Wait, waits_of
from jobs.models import Job
from jobs.need import need_date, ready_date
from jobs.record import JobRecord
from parts.in_time import comes_too_late, why_too_late
from shop.canonical import canonical_bytes, sha256_of
from shop.freshness import MOST_MINUTES_OLD, heads_of, shared_sequence

KEPT_S = 2 * 60 * MOST_MINUTES_OLD


@dataclass(frozen=True)
class GlanceWait:
    """One thing that a car waits for, with where it is cleared."""

    text: str
    clear: str
    url: str
    stops: bool


@dataclass(frozen=True)
class Glance:
    """The answer to whoever asks for one car."""

    where: str
    waits: tuple[GlanceWait, ...]
    needed_on: dt.date | None
    eta: dt.date | None
    ready_on: dt.date
    promised_on: dt.date | None

    @property
    def first(self) -> GlanceWait | None:
        return self.waits[0] if self.waits else None

    @property
    def more(self) -> int:
        return max(0, len(self.waits) - 1)

    @property
    def is_stopped(self) -> bool:
        return any(wait.stops for wait in self.waits)

    @property
    def comes_too_late(self) -> bool:
        """The first part that is missing is not there before the day that needs it, or nobody knows when."""
        return comes_too_late(self.eta, self.needed_on)

    @property
    def why_too_late(self) -> str:
        return why_too_late(self.eta, self.needed_on)

    @property
    def is_tight(self) -> bool:
        """It comes on the very day that needs it, which is too late."""
        return self.eta is not None and self.eta == self.needed_on

    @property
    def days_late(self) -> int:
        return max(0, (self.ready_on - self.promised_on).days) if self.promised_on else 0


def glances_of(jobs: Iterable[Job], *, now: dt.datetime) -> dict[int, Glance]:
    """By the key of each job that is in the shop; released ones wait for nothing. Jobs as `with_car`."""
    open_jobs = [job for job in jobs if not job.is_released]
    if not open_jobs:
        return {}
    keys = _keys(open_jobs, now)
    kept = caches["glances"].get_many(keys.values())
    found: dict[int, Glance] = {pk: kept[key] for pk, key in keys.items() if key in kept}
    missing = [job for job in open_jobs if job.pk not in found]
    if missing:
        records = JobRecord.load_many(missing)
        made = {job.pk: _glance(records[job.pk], now) for job in missing}
        caches["glances"].set_many({keys[pk]: glance for pk, glance in made.items()}, KEPT_S)
        found |= made
    return found


def _keys(jobs: list[Job], now: dt.datetime) -> Mapping[int, str]:
    streams = {job.pk: (job.stream, job.kit_order.stream) for job in jobs}
    heads = heads_of(stream for of_job in streams.values() for stream in of_job)
    common = [int(now.timestamp()) // (60 * MOST_MINUTES_OLD), get_language(), shared_sequence()]
    return {
        pk: sha256_of(canonical_bytes([pk, *common, *(heads.get(s, "") for s in of_job)]))
        for pk, of_job in streams.items()
    }


def _glance(record: JobRecord, now: dt.datetime) -> Glance:
    needed = _first_needed(record, now)
    return Glance(
        where=where_is_it(record),
        waits=tuple(_wait(record, wait) for wait in waits_of(record, now=now)),
        needed_on=needed[0] if needed else None,
        eta=needed[1] if needed else None,
        ready_on=ready_date(record, now=now),
        promised_on=record.job.promised_on,
    )


def _wait(record: JobRecord, wait: Wait) -> GlanceWait:
    url = reverse("jobs:job_operation", args=[record.job.number, wait.operation.code])
    anchor = f"#{wait.at}" if wait.at else ""
    return GlanceWait(wait.text, wait.clear, wait.page or url + anchor, wait.stops)


def _first_needed(record: JobRecord, now: dt.datetime) -> tuple[dt.date, dt.date | None] | None:
    """When the first part that is missing of a counted kit is needed, and when it is expected."""
    days = [
        (need_date(record, operation, now=now), line.eta)
        for line in (record.kit.shortages if record.kit.is_counted else ())
        if (operation := record.find(line.operation)) is not None
    ]
    return min(days, key=lambda day: (day[0], day[1] is not None, day[1] or day[0])) if days else None

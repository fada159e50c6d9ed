"""What each person is to do on the coming days, by the plan in force."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from zoneinfo import ZoneInfo

from jobs.models import OperationState, PlannedOperation, PlanState
from shop.models import Person

AHEAD = dt.timedelta(days=7)
DONE = [OperationState.FINISHED, OperationState.NOT_APPLICABLE]


@dataclass(frozen=True)
class PersonDay:
    """One day of somebody: what is to be done, in order."""

    day: dt.date
    work: tuple[PlannedOperation, ...]


def next_work(people: Iterable[int], *, now: dt.datetime) -> dict[int, tuple[PlannedOperation, ...]]:
    """What is not done and is to begin within a week or has begun, by the key of the person; one query."""
    rows = (
        PlannedOperation.objects.filter(
            plan__state=PlanState.IN_FORCE, person__in=list(people), starts_at__lt=now + AHEAD
        )
        .exclude(job_operation__state__in=DONE)
        .filter(job_operation__job__released_at=None)
        .select_related("job_operation__operation", "job_operation__job__vehicle", "bay")
        .order_by("person", "starts_at", "pk")
    )
    by_person = groupby(rows, key=lambda row: row.person_id)
    return {key: tuple(found) for key, found in by_person if key is not None}


def by_day(work: Iterable[PlannedOperation], *, zone: ZoneInfo, now: dt.datetime) -> tuple[PersonDay, ...]:
    """The work by the shop's day on which it begins; what should have begun belongs to today."""
    today = now.astimezone(zone).date()
    days = groupby(work, key=lambda row: max(today, row.starts_at.astimezone(zone).date()))
    return tuple(PersonDay(day, tuple(rows)) for day, rows in days)


def days_of(person: int, *, zone: ZoneInfo, now: dt.datetime) -> tuple[PersonDay, ...]:
    """The coming days of one person."""
    return by_day(next_work([person], now=now).get(person, ()), zone=zone, now=now)


@dataclass(frozen=True)
class NextDays:
    """Somebody's coming days."""

    person: Person
    days: tuple[PersonDay, ...]


def next_days(people: Iterable[Person], *, zone: ZoneInfo, now: dt.datetime) -> tuple[NextDays, ...]:
    of = list(people)
    work = next_work([person.pk for person in of], now=now)
    return tuple(NextDays(p, by_day(work.get(p.pk, ()), zone=zone, now=now)) for p in of)

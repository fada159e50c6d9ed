"""All that a plan stands on, read from the record in a number of queries that hangs on nothing."""

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from zoneinfo import ZoneInfo

from jobs.models import BookedTime, Job, Pin, PlannedOperation, StoredPlan, TimeCorrection
from jobs.plans.hours import YEARS_AHEAD, Clock, days_off
from jobs.record import JobRecord
from shop.actions import TURN_ROLES
from shop.models import Bay, Instrument, Person, ShopSettings


@dataclass(frozen=True)
class WorkDone:
    """What was worked on one operation: minutes in all, and who has it in hand at this moment."""

    minutes: int = 0
    at_work: tuple[int, ...] = ()


@dataclass(frozen=True)
class ShopState:
    """Cars, people, bays, instruments, pins and the plan in force at one moment."""

    now: dt.datetime
    settings: ShopSettings
    records: tuple[JobRecord, ...]
    people: tuple[Person, ...]
    bays: tuple[Bay, ...]
    instruments: tuple[Instrument, ...]
    pins: tuple[Pin, ...]
    worked: Mapping[int, WorkDone]
    plan: StoredPlan | None
    planned: tuple[PlannedOperation, ...]
    names: Mapping[int, str] = field(default_factory=dict)

    @classmethod
    def load(cls, *, now: dt.datetime) -> "ShopState":
        settings = ShopSettings.current()
        jobs = list(Job.objects.on_the_floor().with_car().order_by("number"))
        people = tuple(
            Person.objects.filter(is_active=True, role__in=TURN_ROLES)
            .order_by("full_name", "pk")
            .prefetch_related("certificates", "absences")
        )
        plan = StoredPlan.objects.in_force().first()
        return cls(
            now=now,
            settings=settings,
            records=tuple(JobRecord.load_many(jobs).values()),
            people=people,
            bays=tuple(Bay.objects.prefetch_related("closures").order_by("number")),
            instruments=tuple(
                Instrument.objects.filter(is_withdrawn=False)
                .prefetch_related("calibrations")
                .order_by("code")
            ),
            pins=tuple(
                Pin.objects.in_force().select_related("job", "job_operation__operation", "bay", "person")
            ),
            worked=_worked(now),
            plan=plan,
            planned=tuple(plan.operations.select_related("job_operation__operation")) if plan else (),
            names=_names(people),
        )

    @cached_property
    def clock(self) -> Clock:
        return Clock(ZoneInfo(self.settings.zone))

    @property
    def today(self) -> dt.date:
        return self.clock.local(self.now).date()

    @cached_property
    def holidays(self) -> frozenset[dt.date]:
        """Public holidays as far ahead as a plan reaches; none where the setting makes no sense."""
        place = self.settings.holiday_country, self.settings.holiday_subdivision
        return days_off(*place, self.today.year, self.today.year + YEARS_AHEAD - 1)

    def hours_of(self, person: Person) -> dict[str, list[list[str]]]:
        """A person's own working hours, else the shop's."""
        hours: dict[str, list[list[str]]] = person.hours or self.settings.hours
        return hours


def _names(people: tuple[Person, ...]) -> dict[int, str]:
    """Each person's name as the plan says it; with the sign-in name where two have the same."""
    held: dict[str, int] = defaultdict(int)
    for person in people:
        held[str(person)] += 1
    return {p.pk: str(p) if held[str(p)] == 1 else f"{p} ({p.username})" for p in people}


def _worked(now: dt.datetime) -> dict[int, WorkDone]:
    """Time booked on operations in work of cars that are here, by the key of the operation; two queries."""
    rows = list(
        BookedTime.objects.filter(
            job_operation__state="in_work", job_operation__job__released_at=None
        ).order_by("began_at")
    )
    corrected = {
        row.booked_id: row
        for row in TimeCorrection.objects.filter(booked__in=[row.pk for row in rows]).order_by("pk")
    }
    minutes: dict[int, float] = defaultdict(float)
    hands: dict[int, list[int]] = defaultdict(list)
    for row in rows:
        counts = corrected.get(row.pk, row)
        minutes[row.job_operation_id] += ((counts.ended_at or now) - counts.began_at).total_seconds() / 60
        if row.ended_at is None and row.pk not in corrected:
            hands[row.job_operation_id].append(row.person_id)
    return {key: WorkDone(int(max(0, minutes[key])), tuple(hands[key])) for key in minutes}

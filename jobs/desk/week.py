"""The week: bays, cars and people over the coming working days, and all that runs out or is missing."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from zoneinfo import ZoneInfo

from jobs.assigning import assignments_of
from jobs.desk.car_row import CarRow
from jobs.desk.waiting import Wait
from jobs.desk.week_days import BayWeek, CarWeek, PersonWeek, people_of, working_days
from jobs.models import Job
from jobs.money.costs import JobCost, costs_of
from jobs.need import need_date
from jobs.record import JobRecord
from parts.in_time import comes_too_late, why_too_late
from parts.standing import LineStanding
from shop.actions import TURN_ROLES
from shop.models import Bay, BayClosure, Certificate, Instrument, Person, ShopSettings
from shop.working_time import first_day_ahead

FEWEST_DAYS, MOST_DAYS = 5, 10
RUNS_OUT_WITHIN = dt.timedelta(days=60)


@dataclass(frozen=True)
class Hold:
    """One thing that a car waits for."""

    car: CarRow
    wait: Wait


@dataclass(frozen=True)
class Need:
    """A missing part with the day on which it is needed; no day where its operation is done or unknown."""

    car: CarRow
    line: LineStanding
    needed_on: dt.date

    @property
    def comes_too_late(self) -> bool:
        return comes_too_late(self.line.eta, self.needed_on)

    @property
    def why_too_late(self) -> str:
        return why_too_late(self.line.eta, self.needed_on)


@dataclass(frozen=True)
class RunsOut:
    """A certificate or a calibration that holds for no more than the days ahead."""

    certificate: Certificate | None
    instrument: Instrument | None
    on: dt.date | None
    today: dt.date

    @property
    def is_over(self) -> bool:
        return self.on is None or self.on < self.today

    @property
    def days_left(self) -> int:
        return (self.on - self.today).days if self.on else 0


@dataclass(frozen=True)
class CarCost:
    car: CarRow
    cost: JobCost


@dataclass(frozen=True)
class WeekPage:
    """All of it. Loaded in a number of queries that hangs neither on cars nor on people."""

    days: tuple[dt.date, ...]
    bays: tuple[BayWeek, ...]
    people: tuple[PersonWeek, ...]
    runs_out: tuple[RunsOut, ...]
    costs: tuple[CarCost, ...]
    currency: str
    has_closed: bool = False

    @classmethod
    def load(cls, *, now: dt.datetime, count: int = MOST_DAYS) -> "WeekPage":
        settings = ShopSettings.current()
        today = settings.day_at(now)
        first = first_day_ahead(now, hours=settings.hours, zone=ZoneInfo(settings.zone))
        days = working_days(first, count, hours=settings.hours)
        jobs = list(Job.objects.on_the_floor().with_car().order_by("number"))
        records, assigned = JobRecord.load_many(jobs), assignments_of(jobs)
        cars = [CarRow(records[job.pk], now, assigned.get(job.pk, ())) for job in jobs]
        costs = costs_of(records.values(), now=now)
        workers = Person.objects.filter(is_active=True, role__in=TURN_ROLES).prefetch_related("absences")
        bays = _bays(days, cars)
        return cls(
            days,
            bays,
            people_of(days, workers, assigned),
            runs_out(today=today),
            tuple(CarCost(car, costs[car.job.pk]) for car in cars),
            settings.currency,
            has_closed=first != today,
        )

    @cached_property
    def cars(self) -> tuple[CarRow, ...]:
        return tuple(row.car for bay in self.bays for row in bay.cars)

    @cached_property
    def holds(self) -> tuple[Hold, ...]:
        """What the cars wait for, what stops one first."""
        found = (Hold(car, wait) for car in self.cars for wait in car.waits)
        return tuple(sorted(found, key=lambda hold: not hold.wait.stops))

    @cached_property
    def needs(self) -> tuple[Need, ...]:
        """Every missing part by the day on which it is needed."""
        found = [
            Need(car, line, need_date(car.record, operation, now=car.now))
            for car in self.cars
            for line in car.shortages
            if (operation := car.record.still_to_do(line.operation)) is not None
        ]
        return tuple(sorted(found, key=lambda need: (need.needed_on, need.car.job.number)))

    @cached_property
    def blocked(self) -> tuple[CarRow, ...]:
        """Cars on stands, the longest first."""
        on_stands = (car for car in self.cars if car.is_on_stands)
        return tuple(sorted(on_stands, key=lambda car: -car.days_blocked))

    @property
    def days_blocked(self) -> int:
        return sum(car.days_blocked for car in self.blocked)


def _bays(days: tuple[dt.date, ...], cars: list[CarRow]) -> tuple[BayWeek, ...]:
    rows = []
    for bay in Bay.objects.prefetch_related("closures").order_by("number"):
        closures = tuple(bay.closures.all())
        here = _cars([car for car in cars if car.job.bay_id == bay.pk], days, closures)
        if bay.is_open or here:
            rows.append(BayWeek(bay, here, days, closures))
    yard = _cars([car for car in cars if car.job.bay_id is None], days, ())
    return (*rows, BayWeek(None, yard, days)) if yard else tuple(rows)


def _cars(
    cars: Iterable[CarRow], days: tuple[dt.date, ...], closures: tuple[BayClosure, ...]
) -> tuple[CarWeek, ...]:
    return tuple(CarWeek(car, days, closures) for car in cars)


def runs_out(*, today: dt.date) -> tuple[RunsOut, ...]:
    """Certificates and calibrations that run out soon, those that did already first."""
    until = today + RUNS_OUT_WITHIN
    newest_of: dict[tuple[int, str], Certificate] = {}
    for row in Certificate.objects.filter(person__is_active=True).select_related("person"):
        newest_of[row.person_id, row.skill] = (
            row  # in the order of their last days: a renewed one is left out
        )
    ending = (row for row in newest_of.values() if row.valid_until <= until)
    found = [RunsOut(row, None, row.valid_until, today) for row in ending]
    for instrument in Instrument.objects.filter(is_withdrawn=False).prefetch_related("calibrations"):
        newest = instrument.calibration(on=today)
        good_until = newest.due_on if newest is not None and newest.passed else None
        if good_until is None or good_until <= until:
            found.append(RunsOut(None, instrument, good_until, today))
    return tuple(sorted(found, key=lambda row: row.on or dt.date.min))

"""The days of the week page: which they are, and what stands in each bay and keeps each person away."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from django.utils.translation import gettext as _

from jobs.desk.car_row import CarRow
from jobs.models import Assignment
from jobs.need import need_date
from shop.models import Absence, Bay, BayClosure, Person
from shop.working_time import DAYS, Hours

LOOK_AHEAD = 60


def working_days(today: dt.date, count: int, *, hours: Hours) -> tuple[dt.date, ...]:
    """The next `count` days on which the shop works, today among them if it is one."""
    days = (today + dt.timedelta(days=offset) for offset in range(LOOK_AHEAD))
    return tuple(day for day in days if hours.get(DAYS[day.weekday()]))[:count]


class How(StrEnum):
    """What a day in a row is; each has its own hatching and its word."""

    FREE = "free"
    WORK = "work"
    HELD = "held"
    CLOSED = "closed"
    AWAY = "away"


@dataclass(frozen=True)
class DayCell:
    """One day in one row."""

    day: dt.date
    how: How
    words: str = ""
    marks: tuple[str, ...] = ()


@dataclass(frozen=True)
class CarWeek:
    """A car over the coming days, if work goes on from now without a wait."""

    car: CarRow
    days: tuple[dt.date, ...]
    closures: tuple[BayClosure, ...]

    @cached_property
    def needs(self) -> dict[dt.date, tuple[str, ...]]:
        """Missing parts by the day on which they are needed."""
        found: dict[dt.date, tuple[str, ...]] = {}
        for line in self.car.shortages:
            operation = self.car.record.still_to_do(line.operation)
            if operation is not None:
                day = need_date(self.car.record, operation, now=self.car.now)
                words = _("%(part)s needed") % {"part": line.part_number}
                found[day] = (*found.get(day, ()), words)
        return found

    @cached_property
    def cells(self) -> tuple[DayCell, ...]:
        return tuple(self._cell(day, is_first=day == self.days[0]) for day in self.days)

    def _cell(self, day: dt.date, *, is_first: bool) -> DayCell:
        closure = next((c for c in self.closures if c.first_day <= day <= c.last_day), None)
        marks = [*self.needs.get(day, ())]
        if day == self.car.job.promised_on:
            marks.append(_("promised"))
        if day == self.car.ready_on:
            marks.append(_("ready"))
        if closure is not None:
            return DayCell(
                day, How.CLOSED, _("closed: %(reason)s") % {"reason": closure.reason}, tuple(marks)
            )
        if day > self.car.ready_on:
            return DayCell(day, How.FREE, "", tuple(marks))
        how = How.HELD if self.car.is_stopped else How.WORK
        words = (_("stopped") if self.car.is_stopped else _("in work")) if is_first else ""
        return DayCell(day, how, words, tuple(marks))


@dataclass(frozen=True)
class BayWeek:
    """A bay with its cars; an empty one with the days on which it is closed. No bay: the yard."""

    bay: Bay | None
    cars: tuple[CarWeek, ...]
    days: tuple[dt.date, ...]
    closures: tuple[BayClosure, ...] = ()

    @property
    def cells(self) -> tuple[DayCell, ...]:
        """The days of an empty bay."""
        return tuple(
            next(
                (
                    DayCell(day, How.CLOSED, _("closed: %(reason)s") % {"reason": c.reason})
                    for c in self.closures
                    if c.first_day <= day <= c.last_day
                ),
                DayCell(day, How.FREE),
            )
            for day in self.days
        )


@dataclass(frozen=True)
class PersonWeek:
    """Somebody over the coming days: away, or there with what they are put onto."""

    person: Person
    days: tuple[dt.date, ...]
    absences: tuple[Absence, ...]
    jobs: tuple[Assignment, ...]

    @property
    def cells(self) -> tuple[DayCell, ...]:
        return tuple(
            DayCell(day, How.AWAY, _("away"))
            if any(a.first_day <= day <= a.last_day for a in self.absences)
            else DayCell(day, How.FREE)
            for day in self.days
        )


def people_of(
    days: tuple[dt.date, ...], people: Iterable[Person], assigned: Mapping[int, tuple[Assignment, ...]]
) -> tuple[PersonWeek, ...]:
    """Everybody who works on cars; absences are fetched with them."""
    rows = [row for of_job in assigned.values() for row in of_job]
    return tuple(
        PersonWeek(
            person,
            days,
            tuple(person.absences.all()),
            tuple(row for row in rows if row.person_id == person.pk),
        )
        for person in people
    )

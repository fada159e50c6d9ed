"""The people of the shop as the manager sees them."""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property

from shop.models import Absence, Certificate, Person

# Whoever renews a certificate or a calibration needs weeks for it.
RUNS_OUT_WITHIN = dt.timedelta(days=60)


@dataclass(frozen=True)
class Held:
    """A certificate as it stands on that day."""

    row: Certificate
    today: dt.date

    @property
    def has_run_out(self) -> bool:
        return self.row.valid_until < self.today

    @property
    def runs_out_soon(self) -> bool:
        return not self.has_run_out and self.row.valid_until <= self.today + RUNS_OUT_WITHIN


@dataclass(frozen=True)
class PersonRow:
    """Somebody with what they hold and when they are away; both are fetched with the person."""

    person: Person
    today: dt.date

    @cached_property
    def certificates(self) -> tuple[Held, ...]:
        return tuple(Held(row, self.today) for row in self.person.certificates.all())

    @cached_property
    def absences(self) -> tuple[Absence, ...]:
        return tuple(row for row in self.person.absences.all() if row.last_day >= self.today)

    @property
    def is_away(self) -> bool:
        return any(row.first_day <= self.today for row in self.absences)


@dataclass(frozen=True)
class PersonList:
    """Those who work here, and below those who do not any more."""

    here: tuple[PersonRow, ...]
    gone: tuple[PersonRow, ...]

    @classmethod
    def load(cls, *, today: dt.date) -> "PersonList":
        people = Person.objects.prefetch_related("certificates", "absences").order_by("full_name")
        rows = [PersonRow(person, today) for person in people]
        return cls(
            tuple(row for row in rows if row.person.is_active),
            tuple(row for row in rows if not row.person.is_active),
        )

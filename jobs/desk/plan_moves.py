"""The dates of a car three times over: as accepted, if the present order is kept, by the plan beside it."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.models import Job
from jobs.plans.comparing import PlanRows


@dataclass(frozen=True)
class CarDates:
    """One car. `was` and `kept` are None where the plan accepted, or the one in force, has not got it."""

    job: Job
    was: dt.date | None
    kept: dt.date | None
    then: dt.date
    promised: dt.date | None
    why: tuple[str, ...] = ()

    def late(self, day: dt.date | None) -> int:
        """Days after the promise."""
        return max(0, (day - self.promised).days) if day and self.promised else 0

    @property
    def days(self) -> int:
        """Days later than if the present order is kept; earlier where negative."""
        return (self.then - self.kept).days if self.kept else 0

    @property
    def days_earlier(self) -> int:
        return max(0, -self.days)

    @property
    def slipped(self) -> int:
        """Days by which it is later in the present order than it was when that was accepted."""
        return (self.kept - self.was).days if self.kept and self.was else 0

    @property
    def moves(self) -> bool:
        return self.then != self.kept or bool(self.slipped)

    @property
    def breaks_promise(self) -> bool:
        return bool(self.late(self.then)) and not self.late(self.kept)

    @property
    def saves_promise(self) -> bool:
        return bool(self.late(self.kept)) and not self.late(self.then)

    @property
    def touches_promise(self) -> bool:
        """Whether either plan, or what has happened since, makes a difference to what was promised."""
        lates = {self.late(day) for day in (self.was, self.kept, self.then) if day}
        return len(lates) > 1 or (self.kept is None and self.late(self.then) > 0)

    @property
    def weight(self) -> tuple[int, int, int]:
        """What is looked at first: promises broken, then saved, then the largest difference."""
        rank = 0 if self.breaks_promise else 1 if self.saves_promise else 2
        return rank, -abs(self.late(self.then) - self.late(self.kept)) - abs(self.days), self.job.number

    @property
    def promise_words(self) -> str:
        """What becomes of the promise; empty where it is kept in every case."""
        kept, then = self.late(self.kept), self.late(self.then)
        if self.breaks_promise:
            return _("the promise is missed: %(late)s") % {"late": days_late(then)}
        if self.saves_promise:
            return _("the promise is kept again; otherwise %(late)s") % {"late": days_late(kept)}
        if then and then == kept:
            return _("%(late)s either way") % {"late": days_late(then)}
        if then:
            return _("%(late)s instead of %(days)d") % {"late": days_late(then), "days": kept}
        return _("kept either way") if self.late(self.was) else ""


def days_late(days: int) -> str:
    return ngettext("%(days)d day late", "%(days)d days late", days) % {"days": days}


def dates_of(accepted: PlanRows | None, present: PlanRows, beside: PlanRows) -> Iterator[CarDates]:
    """Of every car of the plan beside the present one. No queries."""
    for key, row in beside.cars.items():
        was = accepted.cars.get(key) if accepted else None
        kept = present.cars.get(key)
        yield CarDates(
            row.job,
            accepted.day(was.ready_at) if accepted and was else None,
            present.day(kept.ready_at) if kept else None,
            beside.day(row.ready_at),
            row.promised_on,
            tuple(row.why),
        )

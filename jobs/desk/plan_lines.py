"""Lines of the plan page: a car with its date and what that is worth, a stay in a bay."""

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from jobs.models import PlannedCar, PlannedStay
from jobs.plans.dates import FORECASTS_AGREE_WITHIN, Forecast, chance_words, ready_words
from jobs.plans.hours import Clock


@dataclass(frozen=True)
class CarLine:
    """A car in the plan: its day, its promise, why not earlier."""

    row: PlannedCar
    clock: Clock

    @property
    def forecast(self) -> Forecast | None:
        """What the date is worth, where that was worked out."""
        if self.row.likely_on is None or self.row.safe_on is None:
            return None
        return Forecast(self.row.likely_on, self.row.safe_on, self.row.promise_chance)

    @property
    def promise_words(self) -> str:
        """The chance of the promise, where there is one."""
        found = self.forecast
        return "" if found is None or found.promise_chance is None else chance_words(found.promise_chance)

    @property
    def range(self) -> tuple[dt.datetime, dt.datetime] | None:
        """From the day by which it is as likely ready as not to the one with four chances in five."""
        found = self.forecast
        if found is None:
            return None
        noon, night = dt.time(12), dt.time(23, 59)
        return dt.datetime.combine(found.likely, noon), dt.datetime.combine(found.safe, night)

    @property
    def other_view(self) -> int:
        """By how many days the forecast at once has it earlier (above 0) or later, if by many."""
        if self.row.likely_on is None or self.row.at_once_likely_on is None:
            return 0
        days = (self.row.likely_on - self.row.at_once_likely_on).days
        return days if abs(days) > FORECASTS_AGREE_WITHIN else 0

    @property
    def ready_on(self) -> dt.date:
        return self.clock.local(self.row.ready_at).date()

    @property
    def words(self) -> str:
        return ready_words(self.ready_on, self.forecast)

    @property
    def other_view_days(self) -> int:
        return abs(self.other_view)

    @property
    def may_delay(self) -> list[dict[str, Any]]:
        """What makes it late in the samples, the most frequent first."""
        return [one for one in self.row.late_because if not one.get("apart")]

    @property
    def why_apart(self) -> str:
        """Why the two forecasts of its date differ by many days, as counted in the samples."""
        return next((one["text"] for one in self.row.late_because if one.get("apart")), "")

    @property
    def told(self) -> list[str]:
        """The reasons that are told: all of a car that is late, the longest wait of any other."""
        reasons: list[str] = self.row.why
        return reasons if self.days_late else reasons[:1]

    @property
    def days_late(self) -> int:
        promised = self.row.job.promised_on
        return max(0, (self.ready_on - promised).days) if promised else 0


@dataclass(frozen=True)
class StayLine:
    """A car in a bay: from when to when, and how long it stands there with nothing done to it."""

    row: PlannedStay
    standing: tuple[tuple[dt.datetime, dt.datetime], ...]
    standing_hours: int


def gaps_of(
    whole: tuple[dt.datetime, dt.datetime], worked: Iterable[tuple[dt.datetime, dt.datetime]]
) -> Iterator[tuple[dt.datetime, dt.datetime]]:
    """What is left of a stretch when other stretches are taken out."""
    at, ends = whole
    for begins, stops in sorted(worked):
        if begins > at:
            yield at, min(begins, ends)
        at = max(at, stops)
    if at < ends:
        yield at, ends

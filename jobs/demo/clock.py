"""A shop's clock that is wound on as the scenario's work is done."""

import datetime as dt
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from shop.models import ShopSettings
from shop.working_time import after_working_minutes, closing_of, working_minutes


@dataclass
class WorkClock:
    """Stands at a moment of the shop's working time and goes on by working minutes."""

    at: dt.datetime
    settings: ShopSettings

    def work(self, minutes: int) -> dt.datetime:
        """Let working minutes pass."""
        self.at = after_working_minutes(
            self.at, minutes, hours=self.settings.hours, zone=ZoneInfo(self.settings.zone)
        )
        return self.at

    def left_today(self) -> int:
        """The working minutes that the day has left."""
        zone, hours = ZoneInfo(self.settings.zone), self.settings.hours
        closing = closing_of(self.settings.day_at(self.at), hours=hours, zone=zone)
        return working_minutes(self.at, closing, hours=hours, zone=zone) if closing else 0

    def begin_with(self, minutes: int) -> None:
        """Wait for the next morning where the day has not that many minutes left."""
        self.work(0)
        left = self.left_today()
        if left < minutes:
            self.work(left + 1)


@dataclass
class LateClock(WorkClock):
    """Goes on by a short even step, whatever the work: what is done on it was done in the last hour.

    It keeps to the day of the loading, by day or night, because a hot-work permit holds for its day alone.
    """

    step: dt.timedelta = dt.timedelta()

    @classmethod
    def before(
        cls, now: dt.datetime, *, minutes_ago: int, settings: ShopSettings, entries: int = 12
    ) -> "LateClock":
        """A clock on which so many entries are done `minutes_ago` before `now`, or within its day."""
        local = now.astimezone(ZoneInfo(settings.zone))
        midnight = local.replace(hour=0, minute=0, second=0, microsecond=0)
        begin = max(local - dt.timedelta(minutes=2 * minutes_ago), midnight)
        return cls(begin, settings, (local - begin) / (2 * entries))

    def work(self, minutes: int) -> dt.datetime:
        self.at += self.step
        return self.at

    def left_today(self) -> int:
        """As many as are asked for."""
        return 24 * 60

    def begin_with(self, minutes: int) -> None:
        """It is today already."""

"""A shop's clock that is wound on as the scenario's work is done."""

import datetime as dt
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from shop.models import ShopSettings
from shop.working_time import after_working_minutes


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

    def begin_with(self, minutes: int) -> None:
        """Wait for the next morning where the day has not that many minutes left."""
        self.work(0)
        today = self.at.date()
        ahead = after_working_minutes(
            self.at, minutes, hours=self.settings.hours, zone=ZoneInfo(self.settings.zone)
        )
        while self.at.date() == today and ahead.date() != today:
            self.work(15)
            self.work(0)
            ahead = self.at

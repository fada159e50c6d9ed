"""When people work, as a planning problem takes it: shifts by weekday, and the days on which nobody does."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from zoneinfo import ZoneInfo

from jobs.planning.problem import SLOT_MINUTES, Calendar, Shift, Span
from shop.working_time import DAYS, Hours

# As far ahead as a plan is likely to reach.
YEARS_AHEAD = 3


@dataclass(frozen=True)
class Clock:
    """The shop's clock: the record's moments as its naive local times, to the quarter hour, and back."""

    zone: ZoneInfo

    def local(self, at: dt.datetime) -> dt.datetime:
        return at.astimezone(self.zone).replace(tzinfo=None, second=0, microsecond=0)

    def quarter_before(self, at: dt.datetime) -> dt.datetime:
        local = self.local(at)
        return local - dt.timedelta(minutes=local.minute % SLOT_MINUTES)

    def quarter_after(self, at: dt.datetime) -> dt.datetime:
        """The quarter hour at that time or after it."""
        local = self.quarter_before(at)
        return local if local == self.local(at) else local + dt.timedelta(minutes=SLOT_MINUTES)

    def moment(self, local: dt.datetime) -> dt.datetime:
        """The moment of a local time; of one that comes twice the first, of one that never comes the next."""
        return local.replace(tzinfo=self.zone).astimezone(dt.UTC)


def whole_slots(minutes: float) -> int:
    """Minutes of work, rounded up to quarter hours; at least one of them."""
    return max(1, -(-int(minutes) // SLOT_MINUTES)) * SLOT_MINUTES


def midnight(day: dt.date) -> dt.datetime:
    return dt.datetime.combine(day, dt.time())


def days_span(first: dt.date, last: dt.date) -> Span:
    """Whole days, the last one included."""
    return Span(midnight(first), midnight(last + dt.timedelta(days=1)))


def calendar_of(name: str, hours: Hours, days_off: Iterable[dt.date]) -> Calendar:
    """Working hours as `[["07:30", "12:00"]]` by weekday, as a calendar in which days off are empty."""
    week = tuple(tuple(_shift(*window) for window in hours.get(day, [])) for day in DAYS)
    return Calendar(name, week, dict.fromkeys(days_off, ()))


def _shift(begins: str, ends: str) -> Shift:
    return Shift(_minute(begins), _minute(ends))


def _minute(text: str) -> int:
    at = dt.time.fromisoformat(text)
    return at.hour * 60 + at.minute


class UnknownHolidaysError(Exception):
    """Nobody knows the public holidays of such a place."""


@lru_cache(maxsize=32)
def days_off(country: str, subdivision: str, first: int, last: int) -> frozenset[dt.date]:
    """The public holidays of the years from the first to the last; none where nobody knows the place."""
    try:
        return frozenset(public_holidays(country, subdivision, range(first, last + 1)))
    except UnknownHolidaysError:
        return frozenset()


def public_holidays(country: str, subdivision: str, years: Iterable[int]) -> Mapping[dt.date, str]:
    """The public holidays of a country (ISO 3166-1) and its subdivision (ISO 3166-2) by day; none for "".

    Raises:
        UnknownHolidaysError: there is no such country, or it has no such subdivision.
    """
    if not country:
        return {}
    import holidays  # it costs time to import, and most pages never need it

    try:
        found = holidays.country_holidays(country, subdiv=subdivision or None, years=list(years))
    except NotImplementedError as error:
        raise UnknownHolidaysError(f"{country} {subdivision}") from error
    return dict(sorted(found.items()))

"""The shop's clock: working hours by weekday, and the time that work takes by them."""

import datetime as dt
from collections.abc import Iterator, Mapping
from zoneinfo import ZoneInfo

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
LOOK_AHEAD_DAYS = 3660

Hours = Mapping[str, list[list[str]]]


class NoWorkingHoursError(ValueError):
    """The shop has no hours in which anything could be done."""


def _windows(day: dt.date, hours: Hours, zone: ZoneInfo) -> Iterator[tuple[dt.datetime, dt.datetime]]:
    for begin, end in hours.get(DAYS[day.weekday()], []):
        yield (
            dt.datetime.combine(day, dt.time.fromisoformat(begin), zone).astimezone(dt.UTC),
            dt.datetime.combine(day, dt.time.fromisoformat(end), zone).astimezone(dt.UTC),
        )


def after_working_minutes(start: dt.datetime, minutes: int, *, hours: Hours, zone: ZoneInfo) -> dt.datetime:
    """When work of that length is done that begins at `start` and stops with the shop.

    Args:
        start: an aware time; outside of the hours the work begins when the shop next opens.
        minutes: working minutes, 0 or more. 0 gives the moment at which work could begin.
        hours: weekday (`mon` … `sun`) to windows of local times, such as `[["07:30", "16:00"]]`.
        zone: the shop's time zone; a day with a change of the clock counts its true minutes.

    Raises:
        NoWorkingHoursError: when the hours are empty.
    """
    left = dt.timedelta(minutes=minutes)
    day = start.astimezone(zone).date()
    for offset in range(LOOK_AHEAD_DAYS):
        for begin, end in _windows(day + dt.timedelta(days=offset), hours, zone):
            begin = max(begin, start.astimezone(dt.UTC))
            if begin >= end:
                continue
            if begin + left <= end:
                return (begin + left).astimezone(zone)
            left -= end - begin
    raise NoWorkingHoursError("the shop's working hours are empty")


def working_minutes(start: dt.datetime, end: dt.datetime, *, hours: Hours, zone: ZoneInfo) -> int:
    """Whole working minutes from one moment to another."""
    first, last = start.astimezone(zone).date(), end.astimezone(zone).date()
    windows = (
        w for n in range((last - first).days + 1) for w in _windows(first + dt.timedelta(n), hours, zone)
    )
    parts = (min(closes, end) - max(opens, start) for opens, closes in windows)
    return int(sum((p for p in parts if p > dt.timedelta()), dt.timedelta()).total_seconds() // 60)


def closing_of(day: dt.date, *, hours: Hours, zone: ZoneInfo) -> dt.datetime | None:
    """When the shop closes on a day; None where it does not open on it."""
    return max((end for _begin, end in _windows(day, hours, zone)), default=None)


def first_day_ahead(now: dt.datetime, *, hours: Hours, zone: ZoneInfo) -> dt.date:
    """Today, or tomorrow when the shop has closed for today: from when on there is something to plan."""
    today = now.astimezone(zone).date()
    closing = closing_of(today, hours=hours, zone=zone)
    return today + dt.timedelta(days=1) if closing is not None and now >= closing else today

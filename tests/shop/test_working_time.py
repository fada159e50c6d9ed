"""The shop's clock: working minutes by its hours, over nights, week-ends and changes of the clock."""

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.models.settings import weekday_hours
from shop.working_time import NoWorkingHoursError, after_working_minutes

ZONE = ZoneInfo("America/Chicago")
HOURS = weekday_hours()
NIGHT = {"sat": [["22:00", "23:59"]], "sun": [["00:00", "06:00"]]}


def at(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text).replace(tzinfo=ZONE)


@pytest.mark.parametrize(
    ("start", "minutes", "end"),
    [
        ("2026-03-02 07:30", 60, "2026-03-02 08:30"),
        ("2026-03-02 11:30", 60, "2026-03-02 13:00"),  # over the break
        ("2026-03-02 15:30", 60, "2026-03-03 08:00"),  # over the night
        ("2026-03-06 15:30", 60, "2026-03-09 08:00"),  # over the week-end
        ("2026-03-07 12:00", 0, "2026-03-09 07:30"),  # closed: when it next opens
        ("2026-03-02 06:00", 0, "2026-03-02 07:30"),
        ("2026-03-02 07:30", 480, "2026-03-02 16:00"),  # a whole day
        ("2026-03-02 07:30", 2400, "2026-03-06 16:00"),  # a whole week
    ],
)
def test_work_stops_and_goes_on_with_the_shop(start: str, minutes: int, end: str) -> None:
    assert after_working_minutes(at(start), minutes, hours=HOURS, zone=ZONE) == at(end)


def test_a_night_on_which_the_clock_goes_forward_is_an_hour_shorter() -> None:
    begin = at("2026-03-07 22:00")
    before = after_working_minutes(begin, 119 + 119, hours=NIGHT, zone=ZONE)
    assert before == at("2026-03-08 01:59")
    after = after_working_minutes(begin, 119 + 121, hours=NIGHT, zone=ZONE)
    assert after == at("2026-03-08 03:01")


def test_a_night_on_which_the_clock_goes_back_is_an_hour_longer() -> None:
    begin = at("2026-10-31 22:00")
    found = after_working_minutes(begin, 119 + 180, hours=NIGHT, zone=ZONE)
    assert found == at("2026-11-01 02:00")


def test_a_shop_without_hours_is_told() -> None:
    with pytest.raises(NoWorkingHoursError):
        after_working_minutes(at("2026-03-02 07:30"), 1, hours={}, zone=ZONE)


moments = st.datetimes(dt.datetime(2026, 1, 1), dt.datetime(2027, 1, 1), timezones=st.just(dt.UTC))  # noqa: DTZ001 - bounds are naive by its rule


@given(start=moments, first=st.integers(0, 5000), second=st.integers(0, 5000))
def test_work_in_two_parts_takes_as_long_as_in_one(start: dt.datetime, first: int, second: int) -> None:
    whole = after_working_minutes(start, first + second, hours=HOURS, zone=ZONE)
    part = after_working_minutes(start, first, hours=HOURS, zone=ZONE)
    assert after_working_minutes(part, second, hours=HOURS, zone=ZONE) in {
        whole,
        after_working_minutes(whole, 0, hours=HOURS, zone=ZONE),
    }


@given(start=moments, minutes=st.integers(0, 5000), more=st.integers(0, 600))
def test_more_work_is_never_done_sooner(start: dt.datetime, minutes: int, more: int) -> None:
    sooner = after_working_minutes(start, minutes, hours=HOURS, zone=ZONE)
    assert after_working_minutes(start, minutes + more, hours=HOURS, zone=ZONE) >= sooner

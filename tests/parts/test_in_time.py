"""A part is in time when it is there before the day that needs it."""

import datetime as dt

import pytest

from parts.in_time import comes_too_late, why_too_late

DAY = dt.date(2026, 3, 4)


@pytest.mark.parametrize(
    ("eta", "needed_on", "why"),
    [
        (dt.date(2026, 3, 3), DAY, ""),
        (DAY, DAY, "comes on the very day it is needed, which is too late: it has to be here the day before"),
        (dt.date(2026, 3, 5), DAY, "1 day too late"),
        (dt.date(2026, 3, 9), DAY, "5 days too late"),
        (None, DAY, "nobody has said when"),
        (None, None, ""),
        (DAY, None, ""),
    ],
)
def test_what_is_too_late_says_why(eta: dt.date | None, needed_on: dt.date | None, why: str) -> None:
    assert (comes_too_late(eta, needed_on), why_too_late(eta, needed_on)) == (bool(why), why)

"""Judging what needs no instrument: times, counts, fits."""

import pytest

from jobs.bad_input import BadInput
from jobs.judging.checkpoint import judge
from jobs.models import Checkpoint
from shop.models import ShopSettings
from tests.jobs.small_route import NOW

SETTINGS = ShopSettings()


def verdict(checkpoint: Checkpoint, **payload: str) -> str:
    return judge(checkpoint, payload, on=NOW.date(), settings=SETTINGS).verdict


@pytest.mark.parametrize(
    ("limit", "read", "expected"),
    [
        ("≥ 60 min", "60", "conforms"),
        ("≥ 60 min", "1 h", "conforms"),
        ("≥ 60 min", "59.9", "does_not_conform"),
        ("≤ 5 min", "6", "does_not_conform"),
        ("10…20 min", "15 min", "conforms"),
    ],
)
def test_a_time_is_judged_by_the_clock_without_an_instrument(limit: str, read: str, expected: str) -> None:
    assert verdict(Checkpoint(kind="dimension", limit=limit), value=read) == expected


@pytest.mark.parametrize(("counted", "expected"), [("12", "conforms"), ("11", "does_not_conform")])
def test_a_count_is_right_or_not(counted: str, expected: str) -> None:
    assert verdict(Checkpoint(kind="count", count=12), count=counted) == expected


@pytest.mark.parametrize("typed", ["", "-1", "1.5", "twelve", "99999", "١٢"])
def test_a_count_is_a_whole_number(typed: str) -> None:
    with pytest.raises(BadInput) as bad:
        verdict(Checkpoint(kind="count", count=12), count=typed)
    assert set(bad.value.errors) == {"count"}


def test_a_weld_is_judged_by_each_of_its_criteria() -> None:
    weld = Checkpoint(kind="weld", criteria=["No crack", "No undercut"])
    assert verdict(weld, criterion_1="yes", criterion_2="yes") == "conforms"
    assert verdict(weld, criterion_1="yes", criterion_2="no") == "does_not_conform"
    with pytest.raises(BadInput) as bad:
        verdict(weld, criterion_1="yes")
    assert set(bad.value.errors) == {"criterion_2"}

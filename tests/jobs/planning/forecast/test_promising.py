"""The date for a new customer, whether a car with a short kit is started, how dates were kept."""

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.planning.forecast.promising import Trial, another, earliest, kit_earlier, second_shift
from jobs.planning.forecast.scoring import NARROWEST, WIDEST, Given, scored
from jobs.planning.forecast.spread import Lateness
from jobs.planning.forecast.waiting import Way, prospects
from jobs.planning.problem import Problem
from jobs.planning.search import repair
from tests.jobs.planning.forecast.certain import AS_PLANNED, spreading
from tests.jobs.planning.small_shop import at, bay, job, operation, person, shop

TWO_BAYS = (bay("B1", "fab"), bay("B2", "fab"))


def planner(problem: Problem):  # type: ignore[no-untyped-def]
    return repair(problem).plan


def busy_shop() -> Problem:
    return shop(job("J1", operation("a", 480, "weld")), bays=TWO_BAYS, people=(person("ann", "fab", "weld"),))


def test_the_earliest_date_comes_after_what_is_there_and_each_trial_says_what_it_gains() -> None:
    """By hand: Monday for the car that is there; eight hours of welding and the kit on Thursday."""
    newcomer = job("N", operation("n", 480, "weld", parts_at=at(5, 8)), due=at(31))
    trials = [
        Trial("a second shift", second_shift),
        Trial("another welder", another("weld")),
        Trial("the kit two days earlier", kit_earlier(2)),
    ]
    usual, *tried = earliest(busy_shop(), newcomer, planner=planner, about=AS_PLANNED, trials=trials)
    assert usual.safe == at(5).date()
    assert {one.what: one.days_gained(usual) for one in tried} == {
        "a second shift": 0,
        "another welder": 0,
        "the kit two days earlier": 2,
    }


def test_a_safe_date_is_not_before_the_likely_one_and_spread_moves_it_back() -> None:
    newcomer = job("N", operation("n", 960, "weld"), due=at(31))
    (calm,) = earliest(busy_shop(), newcomer, planner=planner, about=AS_PLANNED)
    (wide,) = earliest(busy_shop(), newcomer, planner=planner, about=spreading(0.6))
    assert calm.likely == calm.safe
    assert wide.safe > wide.likely >= calm.likely


def test_promises_that_a_new_car_would_touch_are_named() -> None:
    tight = replace(busy_shop(), jobs=(job("J1", operation("a", 480, "weld"), due=at(2, 17)),))
    urgent = job("N", operation("n", 240, "weld"), due=at(2, 12), weight=50)
    (answer,) = earliest(tight, urgent, planner=planner, about=AS_PLANNED)
    assert answer.touched in {("J1",), ()}  # whichever goes first, nobody is late in silence
    assert (answer.safe == at(2).date()) == (answer.touched == ("J1",))


def test_another_person_is_worth_days_where_people_are_short() -> None:
    cars = [job(f"J{n}", operation(f"a{n}", 480, "weld")) for n in range(3)]
    problem = replace(busy_shop(), jobs=tuple(cars), bays=(*TWO_BAYS, bay("B3", "fab"), bay("B4", "fab")))
    newcomer = job("N", operation("n", 480, "weld"), due=at(31))
    usual, more = earliest(
        problem, newcomer, planner=planner, about=AS_PLANNED, trials=[Trial("welder", another("weld"))]
    )
    assert more.days_gained(usual) >= 1


def short_kit(eta: dt.datetime) -> Problem:
    """J1 is next for the only bay and misses a part for its second operation; J2 comes after it."""
    return shop(
        job("J1", operation("a", 240), operation("b", 240, after=("a",), parts_at=eta), weight=5, due=at(13)),
        job("J2", operation("c", 480), due=at(13, 17)),
    )


def test_a_part_that_comes_late_speaks_for_taking_the_other_car_first() -> None:
    """By hand: started now the bay stands from Monday noon to Friday morning, 3.5 days; waited for 4."""
    found = {one.way: one for one in prospects(short_kit(at(6, 8)), "J1", planner=planner, about=AS_PLANNED)}
    assert found[Way.START].expected == pytest.approx(3.5)
    assert found[Way.WAIT].expected == pytest.approx(4.0)
    assert found[Way.OTHER_FIRST].expected == pytest.approx(0.0)
    assert found[Way.OTHER_FIRST].first == "J2"


def test_the_way_that_blocks_least_comes_first_and_chances_spread() -> None:
    about = replace(AS_PLANNED, lateness=Lateness(0.4, 5.0))
    found = prospects(short_kit(at(6, 8)), "J1", planner=planner, about=about)
    assert [one.expected for one in found] == sorted(one.expected for one in found)
    assert all(one.likely_worst >= one.expected * 0.5 for one in found)
    start = next(one for one in found if one.way is Way.START)
    assert len({round(float(days), 1) for days in start.blocked}) > 3


def test_a_part_that_comes_in_time_speaks_for_starting() -> None:
    found = prospects(short_kit(at(2, 13)), "J1", planner=planner, about=AS_PLANNED)
    start = next(one for one in found if one.way is Way.START)
    assert start.expected == 0
    assert found[0].expected == 0


def test_a_car_that_waits_for_no_part_or_has_its_bay_has_nothing_to_weigh() -> None:
    with pytest.raises(ValueError, match="no part"):
        prospects(short_kit(at(1)), "J1", planner=planner, about=AS_PLANNED)
    standing = shop(job("J1", operation("b", 60, parts_at=at(6)), bay="B1"))
    with pytest.raises(ValueError, match="bay already"):
        prospects(standing, "J1", planner=planner, about=AS_PLANNED)


def given_out(late: int, spread: int = 4) -> Given:
    day = dt.date(2026, 3, 2)
    return Given(day, day + dt.timedelta(days=spread), day + dt.timedelta(days=late))


def test_dates_that_were_kept_as_said_leave_the_spread() -> None:
    """Ten cars, five by P50, eight by P80, the eighth just on it: by hand, the factor is 1."""
    score = scored([given_out(late) for late in (-3, -2, -1, 0, 0, 1, 2, 4, 6, 9)])
    assert (score.count, score.kept50, score.kept80, score.factor) == (10, 5, 8, 1.0)


def test_dates_that_were_missed_widen_the_spread_and_those_kept_easily_narrow_it() -> None:
    assert scored([given_out(12)] * 10).factor == pytest.approx((10 * 3 + 10) / 20)
    assert scored([given_out(-3)] * 30).factor == NARROWEST
    assert scored([]).factor == 1.0


@given(st.lists(st.integers(-30, 200), min_size=1, max_size=40))
def test_a_factor_stays_within_reason(late: list[int]) -> None:
    score = scored([given_out(one) for one in late])
    assert NARROWEST <= score.factor <= WIDEST
    assert 0 <= score.share50 <= score.share80 <= 1

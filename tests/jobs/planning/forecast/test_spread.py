"""What the shop's history says of its work, its suppliers, its looks."""

import datetime as dt
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs.planning.forecast.spread import (
    FIRST_LATENESS,
    FIRST_SIGMA,
    WEIGHT,
    Delivery,
    Done,
    fail_chance,
    lateness,
    learned,
)

MONDAY = dt.date(2026, 3, 2)


def done(took: float, *, kind: str = "W30", stage: str = "welding", car: str = "1") -> Done:
    return Done(kind, stage, car, 1000, round(took))


def test_without_history_there_is_a_first_guess() -> None:
    assert learned([]).of("W30", "welding").sigma == FIRST_SIGMA
    assert learned([]).of("W30", "welding").median == 1.0


def test_one_long_job_moves_the_date_only_a_little() -> None:
    """By hand: ln 2, drawn three times towards 0 with the weight of six."""
    spread = learned([done(2000)]).of("W30", "welding")
    share = 1 / (1 + WEIGHT)
    assert spread.mu == pytest.approx(math.log(2) * (1 - (1 - share) ** 3))
    assert 1.0 < spread.median < 1.4


def test_with_much_history_it_says_what_the_history_says() -> None:
    chance = np.random.default_rng(7)
    rows = [
        done(1000 * math.exp(chance.normal(0.3, 0.4)), car=str(n), kind=kind)
        for n in range(300)
        for kind in ("W30", "W40")
    ]
    found = learned(rows)
    spread = found.of("W30", "welding")
    assert spread.mu == pytest.approx(0.3, abs=0.06)
    assert math.hypot(spread.sigma, found.car_sigma) == pytest.approx(0.4, abs=0.04)


def test_a_kind_without_data_takes_its_stages_spread_then_the_shops() -> None:
    found = learned([done(1500, car=str(n)) for n in range(50)])
    assert found.of("W99", "welding") == found.stages["welding"]
    assert found.of("A10", "assembly") == found.shop


def test_what_a_car_shares_is_told_from_what_is_the_operations_own() -> None:
    chance = np.random.default_rng(1)
    rows = []
    for n in range(120):
        whole_car = chance.normal(0, 0.4)
        rows += [
            done(1000 * math.exp(whole_car + chance.normal(0, 0.1)), car=str(n), kind=f"K{k}")
            for k in range(12)
        ]
    found = learned(rows)
    assert found.car_sigma == pytest.approx(0.4, abs=0.12)
    assert found.of("K3", "welding").sigma < 0.25


@pytest.mark.parametrize("took", [0, 1, 50_000])
def test_a_clock_left_running_or_never_started_is_left_out(took: int) -> None:
    assert learned([Done("W30", "welding", "1", 1000, took)]).count == 0


@given(st.lists(st.integers(200, 5000), min_size=1, max_size=20))
def test_the_spread_lies_between_what_was_thought_and_what_was_seen(minutes: list[int]) -> None:
    found = learned([done(took, car=str(n)) for n, took in enumerate(minutes)])
    logs = [math.log(took / 1000) for took in minutes]
    assert min(0.0, *logs) <= found.of("W30", "welding").mu <= max(0.0, *logs)
    assert found.of("W30", "welding").sigma > 0


def test_a_supplier_is_late_as_often_as_seen_drawn_towards_all() -> None:
    late = [Delivery("A", MONDAY, MONDAY + dt.timedelta(days=10))] * 30
    in_time = [Delivery("B", MONDAY, MONDAY - dt.timedelta(days=1))] * 30
    every, by_supplier = lateness(late + in_time)
    assert by_supplier["A"].chance > 0.85
    assert by_supplier["A"].days == pytest.approx(10, abs=1)
    assert by_supplier["B"].chance < every.chance < by_supplier["A"].chance
    assert lateness([])[0].chance == pytest.approx(FIRST_LATENESS.chance)


def test_a_look_fails_as_often_as_seen() -> None:
    assert fail_chance(looks=0, failed=0) == 0.05
    assert fail_chance(looks=180, failed=37) == pytest.approx(0.19)

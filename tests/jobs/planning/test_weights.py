"""What a plan is good for, in this order: promised dates, days that bays stand blocked, flow."""

from dataclasses import replace
from random import Random

import pytest

from jobs.planning.objective import objective_of
from jobs.planning.problem import SHOP, Problem, Weights
from tests.jobs.planning.small_shop import at, bay, job, operation, planned, shop

TWO_BAYS = (bay("B1", "fab"), bay("B2", "fab"))
LEVELS = (Weights(1, 0, 0), Weights(0, 1, 0), Weights(0, 0, 1))
STRICT = Weights(late=10**9, blocked=10**5, flow=1)
SLOTS_A_DAY = 32


def crowded(number: int) -> Problem:
    """Three cars that get in each other's way, two of them promised for days that cannot all be kept."""
    random = Random(number)
    cars = []
    for name in "xyz":
        first = operation(f"{name}1", random.choice((120, 240, 480)))
        waits = random.choice((None, at(3), at(4, 12)))
        second = operation(f"{name}2", random.choice((60, 240)), after=(f"{name}1",), parts_at=waits)
        cars.append(job(name, first, second, due=at(random.randint(2, 5), 17), weight=random.randint(0, 2)))
    return shop(*cars, bays=TWO_BAYS[: random.randint(1, 2)], weights=SHOP)


@pytest.mark.parametrize("number", range(8))
def test_no_promise_is_given_for_bays_and_no_bay_for_flow(number: int) -> None:
    """Against the best by strict levels, worked out by weights so far apart that nothing can be traded."""
    problem = crowded(number)
    ours, strict = planned(problem), planned(replace(problem, weights=STRICT))
    assert ours.proven
    assert strict.proven
    worth = [[objective_of(replace(problem, weights=w), p.plan) for w in LEVELS] for p in (ours, strict)]
    assert worth[0] == worth[1]


def test_a_day_of_a_promise_outweighs_all_that_a_shop_could_win_otherwise() -> None:
    """A dozen bays freed for a week, and sixty cars a day sooner, are not worth a day of a promise."""
    week_of_bays = 12 * 5 * SLOTS_A_DAY
    assert SHOP.late * SLOTS_A_DAY > SHOP.blocked * week_of_bays + SHOP.flow * 60 * SLOTS_A_DAY
    assert SHOP.blocked * SLOTS_A_DAY > SHOP.flow * 60 * SLOTS_A_DAY

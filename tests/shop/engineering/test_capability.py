"""Whether an instrument can prove a limit at all."""

import json
import math
from dataclasses import replace
from fractions import Fraction

import pytest

from shop.engineering.decision import ISO_14253_95, SIMPLE_ACCEPTANCE, can_prove, can_prove_equal
from shop.engineering.decision.guard_bands import GuardBand, guard_band_factor
from shop.engineering.limits import parse_limits
from shop.engineering.quantities import parse_quantity
from tests.shop.engineering.instruments import ALL, ANGLE_GAUGE, CALIPER, GO_BY, TAPE


@pytest.mark.parametrize(
    ("limit", "code", "provable", "said"),
    [
        ("29 1/2 ±1/16 in", "TP-01", True, "aim at 29 1/2 in"),
        ("29 1/2 ±1/32 in", "TP-01", False, "can never prove"),
        ("65 +5 −0 lbf·ft", "TW-01", False, "its uncertainty is ±3.4 lbf·ft"),
        ("65 ±10 % lbf·ft", "TW-01", True, "aim at 65 lbf·ft"),
        ("≥ 200 lbf·ft", "TW-01", False, "its range is 20 lbf·ft to 150 lbf·ft"),
        ("≤ 15 lbf·ft", "TW-01", False, "its range is"),
        ("≤ 1/8 in", "TW-01", False, "measures torque"),
        ("≤ 1/8 in", "CA-01", True, "aim at 0.123 in"),
    ],
)
def test_says_whether_and_why(limit: str, code: str, provable: bool, said: str) -> None:
    found = can_prove(parse_limits(limit), ALL[code], ISO_14253_95)
    assert found.provable == provable
    assert said in found.sentence
    assert json.loads(json.dumps(found.as_json()))["provable"] == provable


def test_the_ratio_is_the_width_over_twice_the_expanded_uncertainty() -> None:
    found = can_prove(parse_limits("29 1/2 ±1/16 in"), TAPE, ISO_14253_95)
    assert found.ratio == Fraction(3_175_000_000, 2 * 1_024_726_844)
    assert can_prove(parse_limits("≤ 1/8 in"), CALIPER, ISO_14253_95).ratio is None


def test_without_a_guard_band_everything_can_be_read() -> None:
    assert can_prove(parse_limits("29 1/2 ±1/64 in"), TAPE, SIMPLE_ACCEPTANCE).provable


@pytest.mark.parametrize(
    ("low", "high", "provable"),
    [
        ("11 mm", "20 mm", True),
        ("0 mm", "9 mm", True),
        ("11.1 mm", "20 mm", False),
        ("0 mm", "8.9 mm", False),
    ],
)
def test_a_range_that_just_touches_the_zone_is_enough(low: str, high: str, provable: bool) -> None:
    gauge = replace(GO_BY, range_low=parse_quantity(low), range_high=parse_quantity(high))
    assert can_prove(parse_limits("10 ±1 mm"), gauge, ISO_14253_95).provable == provable


def test_equal_sides_ask_more_of_the_instrument() -> None:
    at = parse_quantity("14 1/2 in")
    loose = can_prove_equal(parse_limits("≤ 1/16 in"), TAPE, at, ISO_14253_95)
    tight = can_prove_equal(parse_limits("≤ 3/64 in"), TAPE, at, ISO_14253_95)
    assert (loose.provable, tight.provable) == (True, False)
    assert "can never prove a difference of ≤ 3/64 in" in tight.sentence
    other = can_prove_equal(parse_limits("≤ 1/16 in"), ANGLE_GAUGE, at, ISO_14253_95)
    assert "measures angle" in other.sentence


@pytest.mark.parametrize("way", GuardBand)
def test_a_better_ratio_gives_less_away(way: GuardBand) -> None:
    factors = [guard_band_factor(ratio, way) for ratio in (1, 1.5, 2, 4, 10, 100)]
    assert factors == sorted(factors)
    assert factors[-1] <= 1


@pytest.mark.parametrize("ratio", [0.99, 0, -1, math.nan])
def test_rejects_a_ratio_below_one(ratio: float) -> None:
    with pytest.raises(ValueError, match="1 or more"):
        guard_band_factor(ratio, GuardBand.WHOLE_UNCERTAINTY)

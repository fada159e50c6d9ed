"""Judging left and right together."""

import json
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.decision import (
    ISO_14253_95,
    DecisionError,
    Verdict,
    decide_pair,
    equal_thresholds,
    worst,
)
from shop.engineering.limits import parse_limits
from shop.engineering.quantities import Quantity, parse_quantity
from tests.shop.engineering.instruments import CALIPER, CLICK_WRENCH, TAPE

EACH = parse_limits("14 1/2 ±1/8 in")
EQUAL = parse_limits("≤ 1/16 in")


@pytest.mark.parametrize(
    ("left", "right", "verdict", "said"),
    [
        ("14 1/2 in", "14 1/2 in", Verdict.CONFORMS, "differ by 0 in"),
        ("14 1/2 in", "14 17/32 in", Verdict.TOO_CLOSE, "differ by 1/32 in, too close"),
        ("14 17/32 in", "14 1/2 in", Verdict.TOO_CLOSE, "differ by 1/32 in, too close"),
        ("14 1/2 in", "14 5/8 in", Verdict.DOES_NOT_CONFORM, "differ by 1/8 in, which does not conform"),
        ("14 5/8 in", "14 1/2 in", Verdict.DOES_NOT_CONFORM, "differ by 1/8 in, which does not conform"),
        ("14 3/4 in", "14 3/4 in", Verdict.DOES_NOT_CONFORM, "14 3/4 in does not conform"),
    ],
)
def test_a_pair_is_as_bad_as_its_worst_part(left: str, right: str, verdict: Verdict, said: str) -> None:
    found = decide_pair(EACH, EQUAL, TAPE, parse_quantity(left), parse_quantity(right), ISO_14253_95)
    assert found.verdict == verdict
    assert said in found.explanation
    assert json.loads(json.dumps(found.as_json()))["verdict"] == verdict.value


def test_a_pair_may_have_one_kind_of_limit_or_none() -> None:
    left, right = parse_quantity("14 1/2 in"), parse_quantity("15 in")
    each = decide_pair(parse_limits("10…20 in"), None, TAPE, left, right, ISO_14253_95)
    equal = decide_pair(None, EQUAL, TAPE, left, right, ISO_14253_95)
    neither = decide_pair(None, None, TAPE, left, right, ISO_14253_95)
    assert (each.verdict, each.difference) == (Verdict.CONFORMS, None)
    assert (equal.verdict, equal.left_decision) == (Verdict.DOES_NOT_CONFORM, None)
    assert neither.explanation == "Recorded: left 14 1/2 in, right 15 in."


def test_two_readings_are_less_certain_than_one() -> None:
    found = equal_thresholds(EQUAL, TAPE, parse_quantity("14 in"), ISO_14253_95)
    one_u = 1_024_726_844 / 2
    assert found.expanded_uncertainty == pytest.approx(2 * one_u * 2**0.5, rel=1e-9)
    assert found.accept_low == -found.accept_high
    assert found.reject_low == -found.reject_high


def test_limits_of_a_difference_may_be_lopsided() -> None:
    lopsided = parse_limits("0 +1/4 −0 in")
    left, right = parse_quantity("2 in"), parse_quantity("1 7/8 in")
    assert decide_pair(None, lopsided, CALIPER, left, right, ISO_14253_95).verdict == Verdict.CONFORMS
    turned = decide_pair(None, lopsided, CALIPER, right, left, ISO_14253_95)
    assert turned.verdict == Verdict.DOES_NOT_CONFORM


def test_a_pair_beyond_the_scale_is_refused() -> None:
    with pytest.raises(DecisionError):
        decide_pair(None, EQUAL, CALIPER, parse_quantity("1 in"), parse_quantity("7 in"), ISO_14253_95)


@given(left=st.integers(0, 500), right=st.integers(0, 500))
def test_left_and_right_may_change_places(left: int, right: int) -> None:
    one, other = Quantity(Fraction(left, 32), "in"), Quantity(Fraction(right, 32), "in")
    there = decide_pair(EACH, EQUAL, TAPE, one, other, ISO_14253_95).verdict
    back = decide_pair(EACH, EQUAL, TAPE, other, one, ISO_14253_95).verdict
    assert there == back


def test_a_pair_of_something_else_is_refused() -> None:
    with pytest.raises(DecisionError):
        decide_pair(
            None, EQUAL, CLICK_WRENCH, parse_quantity("65 N·m"), parse_quantity("65 N·m"), ISO_14253_95
        )


def test_the_worst_verdict() -> None:
    assert worst([Verdict.CONFORMS, Verdict.TOO_CLOSE]) == Verdict.TOO_CLOSE
    assert worst([Verdict.TOO_CLOSE, Verdict.DOES_NOT_CONFORM]) == Verdict.DOES_NOT_CONFORM
    assert worst([]) == Verdict.CONFORMS

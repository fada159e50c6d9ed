"""The thresholds of a decision, against a second opinion and by their properties."""

import json
import math
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from shop.engineering.decision import (
    EXPANDED_UNCERTAINTY,
    ISO_14253_95,
    RULES,
    SIMPLE_ACCEPTANCE,
    DecisionError,
    Rule,
    Thresholds,
    Verdict,
    rule_named,
    thresholds,
)
from shop.engineering.decision.normal import conformance_probability, normal_share
from shop.engineering.decision.rules import one_limit_multiple, two_limit_multiple
from shop.engineering.decision.thresholds import thresholds_for
from shop.engineering.limits import Limits, parse_limits
from shop.engineering.quantities import Quantity, parse_quantity
from tests.shop.engineering.instruments import ALL, ANGLE_GAUGE, CALIPER, CLICK_WRENCH, DIAL_WRENCH, TAPE

MM = 10**9
PROBABILITY = Fraction(95, 100)
EVERY_RULE = st.sampled_from(list(RULES.values()))
QUANTA = st.integers(-(10**12), 10**12)


def _limits(low: int | None, high: int | None) -> Limits:
    def quantity(value: int | None) -> Quantity | None:
        return None if value is None else Quantity(Fraction(value, MM), "mm")

    return Limits(None, quantity(low), quantity(high), "drawn", "mm")


@st.composite
def zones(draw: st.DrawFn) -> Limits:
    low, high = sorted((draw(QUANTA), draw(QUANTA)))
    return _limits(*draw(st.sampled_from([(low, high), (low, None), (None, high)])))


def test_the_multiple_for_one_limit_is_the_quantile() -> None:
    assert one_limit_multiple(PROBABILITY) == math.ceil(norm.ppf(0.95) * 10**6) == 1_644_854


@given(z=st.floats(-8, 8))
def test_the_normal_distribution_agrees_with_a_second_opinion(z: float) -> None:
    assert math.isclose(normal_share(z), norm.cdf(z), rel_tol=1e-12)


@given(width=st.fractions(Fraction(1, 100), 40))
def test_the_multiple_for_two_limits_is_the_smallest_that_is_enough(width: Fraction) -> None:
    multiple = two_limit_multiple(PROBABILITY, width)
    if multiple is None:
        assert norm.cdf(float(width / 2)) - norm.cdf(-float(width / 2)) < 0.95 + 1e-6
        return

    def inside(z: float) -> float:
        return norm.cdf(z) - norm.cdf(z - float(width))

    assert inside(multiple / 1e6) >= 0.95 - 1e-12
    assert inside((multiple - 1) / 1e6) < 0.95 + 1e-12
    assert one_limit_multiple(PROBABILITY) <= multiple <= width * 10**6 / 2


def test_a_zone_below_3_92_u_can_never_be_proved() -> None:
    assert two_limit_multiple(PROBABILITY, Fraction("3.919")) is None
    assert two_limit_multiple(PROBABILITY, Fraction("3.920")) is not None


def test_uncertainty_of_a_tape_by_hand() -> None:
    found = thresholds(parse_limits("29 1/2 ±1/16 in"), TAPE, ISO_14253_95)
    step = 25.4e9 / 32
    u = math.sqrt((step / math.sqrt(3)) ** 2 + (step / (2 * math.sqrt(3))) ** 2)
    assert found.expanded_uncertainty == math.ceil(2 * u)
    assert found.unit == "picometre"


def test_uncertainty_of_a_click_wrench_is_taken_of_the_larger_limit() -> None:
    found = thresholds(parse_limits("60…70 N·m"), CLICK_WRENCH, ISO_14253_95)
    foot_pound = 1.3558179483314004e6
    u = math.sqrt(
        (0.04 * 70e6 / math.sqrt(3)) ** 2 + (foot_pound / (2 * math.sqrt(3))) ** 2 + (0.4 * foot_pound) ** 2
    )
    assert found.expanded_uncertainty == math.ceil(2 * u)
    below = thresholds(parse_limits("−70…60 N·m"), CLICK_WRENCH, ISO_14253_95)
    assert below.expanded_uncertainty == found.expanded_uncertainty


def test_an_error_and_a_fraction_of_the_reading_add_up() -> None:
    found = thresholds(parse_limits("≤ 100 N·m"), DIAL_WRENCH, ISO_14253_95)
    u = math.sqrt((1.5e6 / math.sqrt(3)) ** 2 + (0.5e6 / (2 * math.sqrt(3))) ** 2)
    assert found.expanded_uncertainty == math.ceil(2 * u)


def test_a_fraction_of_a_reading_below_zero_adds_up_as_well() -> None:
    above = thresholds(parse_limits("≤ 100 N·m"), DIAL_WRENCH, ISO_14253_95)
    below = thresholds(parse_limits("≥ −100 N·m"), DIAL_WRENCH, ISO_14253_95)
    assert below.expanded_uncertainty == above.expanded_uncertainty


def test_the_guard_band_is_the_rules() -> None:
    limits = parse_limits("≤ 1/8 in")
    strict = thresholds(limits, CALIPER, EXPANDED_UNCERTAINTY)
    plain = thresholds(limits, CALIPER, SIMPLE_ACCEPTANCE)
    assert strict.guard == strict.expanded_uncertainty
    assert plain.guard == 0
    assert plain.accept_high == plain.reject_high == limits.high_canonical


def test_a_reading_on_a_threshold_has_passed_it() -> None:
    found = thresholds(parse_limits("29 1/2 ±1/16 in"), TAPE, ISO_14253_95)
    assert found.judge(found.accept_low) == found.judge(found.accept_high) == Verdict.CONFORMS
    assert found.judge(found.accept_low - 1) == found.judge(found.accept_high + 1) == Verdict.TOO_CLOSE
    assert found.judge(found.reject_low) == found.judge(found.reject_high) == Verdict.DOES_NOT_CONFORM
    assert found.judge(found.reject_low + 1) == found.judge(found.reject_high - 1) == Verdict.TOO_CLOSE


@pytest.mark.parametrize(
    ("text", "code", "aim"),
    [
        ("65 ±10 % lbf·ft", "TW-01", "65 lbf·ft"),
        ("≥ 90 lbf·ft", "TW-01", "94 lbf·ft"),
        ("≤ 1/8 in", "CA-01", "0.123 in"),
        ("88 ±10 N·m", "TW-01", "65 lbf·ft"),
        ("0.5…1.5°", "AG-01", "1°"),
        ("65 +5 −0 lbf·ft", "TW-01", None),
    ],
)
def test_the_suggested_aim_is_on_the_scale_and_inside(text: str, code: str, aim: str | None) -> None:
    found = thresholds(parse_limits(text), ALL[code], ISO_14253_95)
    assert found.suggested == (None if aim is None else parse_quantity(aim))
    assert aim is None or found.accepts(found.suggested.canonical)


def test_no_aim_between_the_marks() -> None:
    coarse = replace(CALIPER, resolution=parse_quantity("1 in"))
    found = thresholds_for(parse_limits("1.3…1.6 in"), Fraction(10**12), ISO_14253_95, instrument=coarse)
    assert found.provable
    assert found.suggested is None


@pytest.mark.parametrize(
    ("text", "aim"),
    [
        ("≥ 10 lbf·ft", "20 lbf·ft"),
        ("≤ 200 lbf·ft", "150 lbf·ft"),
        ("20 ±10 lbf·ft", "24 lbf·ft"),
        ("≥ 200 lbf·ft", None),
        ("≤ 15 lbf·ft", None),
    ],
)
def test_the_suggested_aim_is_within_the_instruments_range(text: str, aim: str | None) -> None:
    found = thresholds(parse_limits(text), CLICK_WRENCH, ISO_14253_95)
    assert found.suggested == (None if aim is None else parse_quantity(aim))


def test_another_dimension_is_refused() -> None:
    with pytest.raises(DecisionError, match="measures angle"):
        thresholds(parse_limits("≤ 1/8 in"), ANGLE_GAUGE, ISO_14253_95)


def test_rules_are_known_by_name() -> None:
    assert rule_named("ISO 14253-1, 95 %") is ISO_14253_95
    with pytest.raises(ValueError, match="no decision rule"):
        rule_named("as the wind blows")


@pytest.mark.parametrize(
    "given_wrong",
    [
        {},
        {"probability": PROBABILITY, "guard_of_u": Fraction(1)},
        {"probability": Fraction(1, 2)},
        {"probability": Fraction(1)},
        {"guard_of_u": Fraction(-1)},
    ],
)
def test_a_rule_that_makes_no_sense_is_refused(given_wrong: dict[str, Fraction]) -> None:
    with pytest.raises(ValueError, match=r"rule|probability|guard"):
        Rule("odd", **given_wrong)


@given(limits=zones(), u=st.integers(0, 10**11), rule=EVERY_RULE)
def test_thresholds_survive_json(limits: Limits, u: int, rule: Rule) -> None:
    found = thresholds_for(limits, Fraction(u) ** 2, rule, instrument=TAPE)
    assert Thresholds.from_json(json.loads(json.dumps(found.as_json()))) == found
    assert Rule.from_json(json.loads(json.dumps(rule.as_json()))) == rule


@given(limits=zones(), u=st.integers(1, 10**11), reading=QUANTA)
def test_a_verdict_holds_with_its_probability(limits: Limits, u: int, reading: int) -> None:
    found = thresholds_for(limits, Fraction(u) ** 2, ISO_14253_95)
    low, high = limits.low_canonical, limits.high_canonical
    inside = (1 if low is None else norm.cdf((reading - low) / u)) - (
        0 if high is None else norm.cdf((reading - high) / u)
    )
    verdict = found.judge(reading)
    if verdict == Verdict.CONFORMS:
        assert inside >= 0.95 - 1e-9
    if verdict == Verdict.DOES_NOT_CONFORM:
        assert inside <= 0.05 + 1e-9
    assert math.isclose(
        conformance_probability(reading, u, low=low, high=high), max(inside, 0), rel_tol=1e-9, abs_tol=1e-12
    )


@given(limits=zones(), u=st.integers(0, 10**11), more=st.integers(0, 10**11), reading=QUANTA, rule=EVERY_RULE)
def test_more_uncertainty_never_decides_what_was_open(
    limits: Limits, u: int, more: int, reading: int, rule: Rule
) -> None:
    sure = thresholds_for(limits, Fraction(u) ** 2, rule).judge(reading)
    unsure = thresholds_for(limits, Fraction(u + more) ** 2, rule).judge(reading)
    assert unsure in {sure, Verdict.TOO_CLOSE}


@given(limits=zones(), u=st.integers(0, 10**11), rule=EVERY_RULE)
def test_acceptance_lies_inside_the_limits_and_rejection_outside(limits: Limits, u: int, rule: Rule) -> None:
    found = thresholds_for(limits, Fraction(u) ** 2, rule)
    low, high = limits.low_canonical, limits.high_canonical
    if low is not None:
        assert found.reject_low <= low
        assert not found.provable or found.accept_low >= low
    if high is not None:
        assert found.reject_high >= high
        assert not found.provable or found.accept_high <= high
    if None not in (low, high) and found.provable:
        assert found.accept_low <= found.accept_high

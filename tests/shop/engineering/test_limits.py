"""Reading limits as instructions state them."""

import json
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.limits import Limits, LimitsError, parse_limits
from shop.engineering.limits.shown import limits_in
from shop.engineering.quantities import Dimension, Quantity, format_quantity, parse_quantity
from shop.engineering.quantities.writer import System

DEFAULTS = {Dimension.LENGTH: "±1/16 in", Dimension.TORQUE: "±10 %", Dimension.ANGLE: "±0.5°"}


def _q(text: str | None) -> Quantity | None:
    return None if text is None else parse_quantity(text)


@pytest.mark.parametrize(
    ("text", "nominal", "low", "high"),
    [
        ("29 1/2 ±1/16 in", "29 1/2 in", "29 7/16 in", "29 9/16 in"),
        ("29 1/2 in ± 1/16 in", "29 1/2 in", "29 7/16 in", "29 9/16 in"),
        ("29½″ ±1⁄16″", "29 1/2 in", "29 7/16 in", "29 9/16 in"),
        ("29 1/2 +/- 1/16 in", "29 1/2 in", "29 7/16 in", "29 9/16 in"),
        ("100 mm ±1/16 in", "100 mm", "98.4125 mm", "101.5875 mm"),
        ("65 +5 −0 lbf·ft", "65 lbf·ft", "65 lbf·ft", "70 lbf·ft"),
        ("65 +5/-0 ft-lb", "65 lbf·ft", "65 lbf·ft", "70 lbf·ft"),
        ("65 lbf·ft +5 −0", "65 lbf·ft", "65 lbf·ft", "70 lbf·ft"),
        ("65 −0 +5 lbf·ft", "65 lbf·ft", "65 lbf·ft", "70 lbf·ft"),
        ("29-1/2 +1/16 -1/32 in", "29 1/2 in", "29 15/32 in", "29 9/16 in"),
        ("65 ±10 % lbf·ft", "65 lbf·ft", "58.5 lbf·ft", "71.5 lbf·ft"),
        ("65 lbf·ft ±10%", "65 lbf·ft", "58.5 lbf·ft", "71.5 lbf·ft"),
        ("65 lbf·ft +10 % −0", "65 lbf·ft", "65 lbf·ft", "71.5 lbf·ft"),
        ("180 ±10°", "180°", "170°", "190°"),
        ("−0.5° ±0.25°", "-0.5°", "-0.75°", "-0.25°"),
        ("0° 30' ±15'", "0.5°", "0.25°", "0.75°"),
        ("5 min ±30 s", "5 min", "4.5 min", "5.5 min"),
        ("≤ 1/8 in", None, None, "1/8 in"),
        ("<= 1/8 in", None, None, "1/8 in"),
        ("1/8 in max", None, None, "1/8 in"),
        ("max. 1/8 in", None, None, "1/8 in"),
        ("at most 1/8 in", None, None, "1/8 in"),
        ("≥ 3 mm", None, "3 mm", None),
        (">= 3 mm", None, "3 mm", None),
        ("1 in min", None, "1 in", None),
        ('1"min', None, "1 in", None),
        ("minimum 1 in", None, "1 in", None),
        ("not less than 1 in", None, "1 in", None),
        ("≥ 60 min", None, "60 min", None),
        ("60 min min", None, "60 min", None),
        ("60 min max", None, None, "60 min"),
        ("1 min", None, "1 min", None),
        ("60min", None, "60 min", None),
        ("≥ 1 h 30 min", None, "90 min", None),
        ("14…16 in", None, "14 in", "16 in"),
        ("14...16 in", None, "14 in", "16 in"),
        ("14 to 16 in", None, "14 in", "16 in"),
        ("14–16 in", None, "14 in", "16 in"),
        ("14 1/2 in – 16 in", None, "14 1/2 in", "16 in"),
        ("-0.5° to -0.2°", None, "-0.5°", "-0.2°"),
        ("−1…+1°", None, "-1°", "1°"),
    ],
)
def test_reads_every_form(text: str, nominal: str | None, low: str | None, high: str | None) -> None:
    found = parse_limits(text)
    assert (found.nominal, found.low, found.high) == (_q(nominal), _q(low), _q(high))
    assert found.text == text
    assert not found.default_applied


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("29 1/2 in", "29 7/16 in", "29 9/16 in"),
        ("65 lbf·ft", "58.5 lbf·ft", "71.5 lbf·ft"),
        ("-0.5°", "-1°", "0°"),
        ("749.3 mm", "747.7125 mm", "750.8875 mm"),
    ],
)
def test_a_nominal_alone_takes_the_shops_default_and_says_so(text: str, low: str, high: str) -> None:
    found = parse_limits(text, default_tolerance=DEFAULTS)
    assert (found.low, found.high, found.text) == (_q(low), _q(high), text)
    assert found.default_applied
    assert "the shop's default tolerance" in found.describe()


def test_a_stated_tolerance_leaves_the_default_alone() -> None:
    assert not parse_limits("29 1/2 ±1/32 in", default_tolerance="±1/16 in").default_applied


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "Nothing"),
        ("29 1/2 in", "no tolerance"),
        ("10 ±1", "no unit"),
        ("2 max", "no unit"),
        ("±1/16 in", "without a nominal"),
        ("16…14 in", "above the upper limit"),
        ("65 +5 lbf·ft", "one tolerance"),
        ("65 −5 lbf·ft", "one tolerance"),
        ("65 +5 +3 lbf·ft", "same way"),
        ("65 −5 −3 lbf·ft", "same way"),
        ("65 +5 −3 −1 lbf·ft", "more than two"),
        ("65 ± -5 lbf·ft", "one sign"),
        ("0 ±10 % in", "percentage of 0"),
        ("65 lbf·ft +10 −5 %", "is 10 a percentage"),
        ("65 lbf·ft ±5 in", "here a torque is asked"),
        ("14 in to 16 lbf·ft", "here a torque is asked"),
        ("< 1/8 in", "Does the limit itself"),
        ("1 h", "at least or at most"),
        ("-5 min", "at least or at most"),
        ("1 h 30 min", "at least or at most"),
        ("14-16 in", "hyphen"),
        ("29,5 ±1 mm", "decimal point"),
        ("≤ some in", "no number"),
        ("1/8 in ≤ x ≤ 1/4 in", "not a unit"),
        ("65 ±5 in ±3", "not a unit"),
        ("≤ 10^400 in", "not a unit"),
        ("5 mmin", "not a unit"),
        ("5 mmax", "not a unit"),
    ],
)
def test_rejects_in_the_users_words(text: str, said: str) -> None:
    with pytest.raises(LimitsError) as caught:
        parse_limits(text)
    assert said in caught.value.message


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("< 1/8 in", ("≤ 1/8 in",)),
        ("14-16 in", ("14…16 in",)),
        ("1 h", ("≥ 1 h", "≤ 1 h")),
        ("29 1/2 in", ("≤ 29 1/2 in", "≥ 29 1/2 in")),
        ("65 +5 lbf·ft", ("65 ±5 lbf·ft", "65 −0 +5 lbf·ft")),
        ("65 lbf·ft −5", ("65 lbf·ft ±5", "65 lbf·ft +0 −5")),
    ],
)
def test_what_it_could_have_meant_can_be_read(text: str, meant: tuple[str, ...]) -> None:
    with pytest.raises(LimitsError) as caught:
        parse_limits(text)
    assert caught.value.meant == meant
    for suggestion in meant:
        parse_limits(suggestion)


def test_a_default_of_another_dimension_is_refused() -> None:
    with pytest.raises(LimitsError, match="here a torque is asked"):
        parse_limits("65 lbf·ft", default_tolerance="±1/16 in")
    with pytest.raises(LimitsError, match="no tolerance"):
        parse_limits("30 psi", default_tolerance=DEFAULTS)


@pytest.mark.parametrize(
    ("text", "described"),
    [
        ("29 1/2 ±1/16 in", "29 7/16 in to 29 9/16 in"),
        ("≤ 1/8 in", "at most 1/8 in"),
        ("≥ 60 min", "at least 60 min"),
    ],
)
def test_described_in_words(text: str, described: str) -> None:
    assert parse_limits(text).describe() == described


@pytest.mark.parametrize(
    ("text", "system", "shown"),
    [
        ("29 1/2 ±1/16 in", "metric", "747.8 mm to 750.8 mm"),  # 747.7125 and 750.8875 mm: 1 in = 25.4 mm
        ("≤ 1/8 in", "metric", "at most 3.1 mm"),  # 3.175 mm
        ("90 ±5 N·m", "inch", "62.7 lbf·ft to 70.0 lbf·ft"),  # 62.693 and 70.068 lbf·ft
        ("≥ 65 lbf·ft", "metric", "at least 88.2 N·m"),  # 88.128 N·m
        ("750 ±1 mm", "inch", "29 1/2 in to 29 9/16 in"),  # 29.4882 and 29.5669 in
    ],
)
def test_in_the_other_system_each_limit_is_rounded_inward(text: str, system: System, shown: str) -> None:
    """What fits the figure beside fits what is asked. Factors: NIST SP 811, appendix B."""
    assert limits_in(parse_limits(text), system) == shown


def test_limits_of_nothing_are_refused() -> None:
    with pytest.raises(LimitsError, match="limits nothing"):
        Limits(None, None, None, "x", "in")


FINE = st.integers(-64 * 40, 64 * 40).map(lambda count: Quantity(Fraction(count, 64), "in"))


@given(nominal=FINE, tolerance=FINE.filter(lambda q: q.value >= 0))
def test_symmetric_limits_invert(nominal: Quantity, tolerance: Quantity) -> None:
    text = f"{format_quantity(nominal, fraction=64)} ±{format_quantity(tolerance, fraction=64)}"
    found = parse_limits(text)
    assert found.nominal == nominal
    assert (found.low_canonical, found.high_canonical) == (
        nominal.canonical - tolerance.canonical,
        nominal.canonical + tolerance.canonical,
    )
    assert Limits.from_json(json.loads(json.dumps(found.as_json()))) == found


@given(low=FINE, high=FINE)
def test_a_range_is_read_or_refused_when_upside_down(low: Quantity, high: Quantity) -> None:
    text = f"{format_quantity(low, fraction=64)} to {format_quantity(high, fraction=64)}"
    if low.value <= high.value:
        found = parse_limits(text)
        assert (found.low, found.high) == (low, high)
    else:
        with pytest.raises(LimitsError):
            parse_limits(text)


@given(text=st.text(alphabet="0123456789 ./-−–+±≤≥<>%…'\"°minaxtoflbN·", max_size=30))
def test_no_text_raises_anything_else(text: str) -> None:
    try:
        found = parse_limits(text, default_tolerance=DEFAULTS)
    except LimitsError:
        return
    assert found.text == text
    assert found.low is None or found.high is None or found.low.quanta <= found.high.quanta

"""Writing quantities."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.quantities import (
    Dimension,
    FractionParts,
    Quantity,
    QuantityError,
    both,
    format_minutes,
    format_quantity,
    fraction_parts,
    natural,
    parse_quantity,
    rounded,
)
from shop.engineering.quantities.measures import UNITS
from shop.engineering.quantities.writer import brief

SIXTY_FOURTHS = st.integers(-64 * 500, 64 * 500).map(lambda count: Quantity(Fraction(count, 64), "in"))
DECIMALS = st.builds(
    lambda digits, places, unit: Quantity(Fraction(digits, 10**places), unit),
    st.integers(-(10**6), 10**6),
    st.integers(0, 6),
    st.sampled_from([unit for unit in UNITS if unit != "°"]),
).filter(lambda quantity: abs(quantity.quanta) < 2**52)
LENGTHS = DECIMALS.filter(lambda quantity: quantity.dimension == Dimension.LENGTH)


@pytest.mark.parametrize(
    ("text", "fraction", "shown"),
    [
        ("29.5 in", 32, "29 1/2 in"),
        ("749.3 mm", 32, "29 1/2 in"),
        ("25.3 mm", 64, "1 in"),
        ("63/64 in", 32, "1 in"),
        ("1 63/64 in", 16, "2 in"),
        ("3/32 in", 16, "1/8 in"),
        ("-3/32 in", 16, "−1/8 in"),
        ("-1/128 in", 32, "0 in"),
        ("0 in", 32, "0 in"),
        ("12 in", 64, "12 in"),
    ],
)
def test_nearest_fraction(text: str, fraction: int, shown: str) -> None:
    assert format_quantity(parse_quantity(text), fraction=fraction) == shown


def test_fraction_in_parts_for_a_template() -> None:
    assert fraction_parts(parse_quantity("-29 17/32 in"), 32) == FractionParts("−", 29, 17, 32, "in")
    assert fraction_parts(parse_quantity("5/8 in"), 64) == FractionParts("", 0, 5, 8, "in")
    assert fraction_parts(parse_quantity("29 in"), 32) == FractionParts("", 29, 0, 1, "in")
    with pytest.raises(QuantityError):
        fraction_parts(parse_quantity("29 in"), 0)


@pytest.mark.parametrize(
    ("text", "options", "shown"),
    [
        ("65 lbf·ft", {"unit": "N·m", "places": 1}, "88.1 N·m"),
        ("29 1/2 in", {}, "29.5 in"),
        ("29 1/2 in", {"unit": "mm"}, "749.3 mm"),
        ("1/3 in", {}, "0.3333 in"),
        ("-0.75°", {}, "−0.75°"),
        ("0.25 mm", {"places": 1}, "0.3 mm"),
        ("-0.25 mm", {"places": 1}, "−0.3 mm"),
        ("-0.04 mm", {"places": 1}, "0.0 mm"),
        ("1500 mm", {"unit": "m", "places": 0}, "2 m"),
    ],
)
def test_decimals(text: str, options: dict[str, object], shown: str) -> None:
    assert format_quantity(parse_quantity(text), **options) == shown


@pytest.mark.parametrize(
    ("text", "inch", "metric"),
    [
        ("29 1/2 in", "29 1/2 in", "749.3 mm"),
        ("749.3 mm", "29 1/2 in", "749.3 mm"),
        ("0.010 in", "0.01 in", "0.25 mm"),
        ("1 mm", "0.039 in", "1 mm"),
        ("6.35 mm", "1/4 in", "6.35 mm"),
        ("5/64 in", "5/64 in", "2.0 mm"),
        ("65 lbf·ft", "65 lbf·ft", "88.1 N·m"),
        ("88 N·m", "64.9 lbf·ft", "88 N·m"),
        ("120 lbf·in", "120 lbf·in", "13.6 N·m"),
        ("32 psi", "32 psi", "221 kPa"),
        ("450 lbf/in", "450 lbf/in", "78.8 N/mm"),
        ("1 lb 4 oz", "1.25 lb", "0.567 kg"),
    ],
)
def test_both_systems_side_by_side(text: str, inch: str, metric: str) -> None:
    quantity = parse_quantity(text)
    assert both(quantity) == (inch, metric)
    assert both(quantity, system="metric") == (metric, inch)


def test_angles_times_and_shares_have_their_own_second_text() -> None:
    assert both(parse_quantity("-0.75°")) == ("−0.75°", "−0° 45.0′")
    assert both(parse_quantity("60 min")) == ("60 min", "")
    assert both(parse_quantity("10 %"), system="metric") == ("10 %", "")


@pytest.mark.parametrize(
    ("text", "shown"),
    [("0.75°", "0° 45.0′"), ("-1.9999°", "−2° 0.0′"), ("0.0001°", "0° 0.0′"), ("2° 06′ 36″", "2° 6.6′")],
)
def test_degrees_and_minutes_carry_and_keep_their_sign(text: str, shown: str) -> None:
    assert format_minutes(parse_quantity(text)) == shown


def test_only_an_angle_has_minutes() -> None:
    with pytest.raises(QuantityError):
        format_minutes(parse_quantity("1 in"))


def test_computed_values_show_few_digits() -> None:
    assert rounded(Quantity(Fraction(1, 30), "in")) == "0.033 in"
    assert rounded(Quantity(Fraction(1, 3), "N·m")) == "0.33 N·m"
    assert rounded(Quantity(Fraction(10, 3), "N·m")) == "3.3 N·m"
    assert brief(Quantity(Fraction(1, 16), "in")) == "1/16 in"
    assert brief(Quantity(Fraction(1, 30), "in")) == "0.033 in"


@given(quantity=SIXTY_FOURTHS)
def test_fraction_text_inverts(quantity: Quantity) -> None:
    assert parse_quantity(format_quantity(quantity, fraction=64)) == quantity
    assert parse_quantity(natural(quantity)) == quantity


@given(quantity=DECIMALS)
def test_decimal_text_inverts(quantity: Quantity) -> None:
    assert parse_quantity(format_quantity(quantity)) == quantity


@given(tenths=st.integers(-36_000, 36_000))
def test_minutes_text_inverts(tenths: int) -> None:
    angle = Quantity(Fraction(tenths, 600), "°")
    assert parse_quantity(format_minutes(angle)) == angle


@given(quantity=LENGTHS, fraction=st.sampled_from([16, 32, 64]))
def test_nearest_fraction_is_the_nearest(quantity: Quantity, fraction: int) -> None:
    shown = parse_quantity(format_quantity(quantity, fraction=fraction))
    assert abs(shown.value - quantity.to("in").value) <= Fraction(1, 2 * fraction)


@given(quantity=LENGTHS, unit=st.sampled_from(["in", "ft", "thou", "mm", "cm", "m", "µm"]))
def test_conversion_inverts(quantity: Quantity, unit: str) -> None:
    assert quantity.to(unit).to(quantity.unit) == quantity

"""Reading quantities as people write them."""

import string
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.quantities import Dimension, Quantity, QuantityError, parse_quantity
from shop.engineering.quantities.measures import UNITS

HALF = Fraction(1, 2)


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("29 1/2 in", 29 + HALF, "in"),
        ("29-1/2 in", 29 + HALF, "in"),
        ("29–1/2 in", 29 + HALF, "in"),
        ("29½ in", 29 + HALF, "in"),
        ("29 ½″", 29 + HALF, "in"),
        ("29 1⁄2 inches", 29 + HALF, "in"),
        ('1-5/8"', Fraction(13, 8), "in"),
        ("1 5/8''", Fraction(13, 8), "in"),
        ("3/2 in", Fraction(3, 2), "in"),
        ("100/8 in", Fraction(25, 2), "in"),
        (".5 in.", HALF, "in"),
        ("29. in", Fraction(29), "in"),
        ("2' 3 1/2\"", 27 + HALF, "in"),
        ("2'-3 1/2\"", 27 + HALF, "in"),
        ("2′ 3½″", 27 + HALF, "in"),
        ("2 ft 3.5 in", 27 + HALF, "in"),
        ("16 ft", Fraction(16), "ft"),
        ("5 thou", Fraction(5), "thou"),
        ("749.3 mm", Fraction(7493, 10), "mm"),
        ("74.93 CM", Fraction(7493, 100), "cm"),
        ("80 microns", Fraction(80), "µm"),
        ("80 μm", Fraction(80), "µm"),
        ("−5 mm", Fraction(-5), "mm"),
        ("- 5 mm", Fraction(-5), "mm"),
        ("+5\u00a0mm", Fraction(5), "mm"),
        ("65 lbf·ft", Fraction(65), "lbf·ft"),
        ("65 ft-lb", Fraction(65), "lbf·ft"),
        ("65 ft.lbf", Fraction(65), "lbf·ft"),
        ("65 lb·ft", Fraction(65), "lbf·ft"),
        ("65 ft·lb", Fraction(65), "lbf·ft"),
        ("65 ft lbs", Fraction(65), "lbf·ft"),
        ("65 ft. lb.", Fraction(65), "lbf·ft"),
        ("65ftlb", Fraction(65), "lbf·ft"),
        ("65 foot-pounds", Fraction(65), "lbf·ft"),
        ("120 in-lb", Fraction(120), "lbf·in"),
        ("120 lbf·in", Fraction(120), "lbf·in"),
        ("88 N·m", Fraction(88), "N·m"),
        ("88 Nm", Fraction(88), "N·m"),
        ("88 N m", Fraction(88), "N·m"),
        ("88 N.m", Fraction(88), "N·m"),
        ("9 kgf·m", Fraction(9), "kgf·m"),
        ("9 kg-m", Fraction(9), "kgf·m"),
        ("-0° 45'", Fraction(-3, 4), "°"),
        ("−0° 45.0′", Fraction(-3, 4), "°"),
        ("2° 06′ 36″", Fraction(211, 100), "°"),
        ("1 deg 15 min", Fraction(5, 4), "°"),
        ("1½°", Fraction(3, 2), "°"),
        ("0.1 degrees", Fraction(1, 10), "°"),
        ("30 psi", Fraction(30), "psi"),
        ("2.1 bar", Fraction(21, 10), "bar"),
        ("70 MPa", Fraction(70), "MPa"),
        ("450 lb/in", Fraction(450), "lbf/in"),
        ("450 lbf / in", Fraction(450), "lbf/in"),
        ("79 N/mm", Fraction(79), "N/mm"),
        ("12 oz", Fraction(12), "oz"),
        ("1 lb 4 oz", Fraction(5, 4), "lb"),
        ("1 1/2 lbs", Fraction(3, 2), "lb"),
        ("450 g", Fraction(450), "g"),
        ("1 min", Fraction(1), "min"),
        ("1 h 30 min", Fraction(90), "min"),
        ("90 minutes", Fraction(90), "min"),
        ("50 %", Fraction(50), "%"),
    ],
)
def test_reads_what_is_written(text: str, value: Fraction, unit: str) -> None:
    assert parse_quantity(text) == Quantity(value, unit)


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("29 1/2", "in", Quantity(29 + HALF, "in")),
        ("65", "ft-lb", Quantity(Fraction(65), "lbf·ft")),
        ("2'", "in", Quantity(Fraction(2), "ft")),
        ("45'", "°", Quantity(Fraction(3, 4), "°")),
        ("1' 30\"", "°", Quantity(Fraction(1, 40), "°")),
        ("88 N·m", "lbf·ft", Quantity(Fraction(88), "N·m")),
    ],
)
def test_a_default_unit_serves_a_bare_number(text: str, unit: str, expected: Quantity) -> None:
    assert parse_quantity(text, default_unit=unit) == expected


@pytest.mark.parametrize(
    ("text", "unit", "meant"),
    [
        ("29 1/2", None, ("29 1/2 in", "29 1/2 mm")),
        ("1 - 5/8 in", None, ("1 5/8 in", "3/8 in")),
        ("1 −5/8 in", None, ("1 5/8 in", "3/8 in")),
        ("17/16 in", None, ("1 1/16", "1 7/16")),
        ("16/16 in", None, ("1", "1 6/16")),
        ("291/2 in", None, ("145 1/2", "29 1/2")),
        ("29 3/2 in", None, ("30 1/2",)),
        ("2'", None, ("2 ft", "0° 2′")),
        ("5 min", "°", ("0° 5′", "5 min")),
        ("1° 15", "°", ("1° 15′",)),
        ("2' 3", "in", ("2' 3\"",)),
        ("29,5 in", None, ("29.5 in",)),
        ("1,500 mm", None, ("1.500 mm", "1500 mm")),
        ("1,234.5 mm", None, ("1234.5 mm",)),
        ("65 nm", None, ("N·m",)),
        ("7 mPa", None, ("MPa",)),
    ],
)
def test_rejects_what_could_be_two_things_and_names_them(
    text: str, unit: str | None, meant: tuple[str, ...]
) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text, default_unit=unit)
    assert caught.value.meant == meant


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "Nothing"),
        ("   ", "Nothing"),
        ("abc", "no number"),
        ("NaN", "no number"),
        ("inf in", "no number"),
        ("1 -", "not one measurement"),
        ("--5 mm", "not one measurement"),
        ("10^400", "not a unit"),
        ("1e3 mm", "not a unit"),
        ("5 furlongs", "not a unit"),
        ("1 500 mm", "two numbers"),
        ("14-16 in", "two numbers"),
        ("29 1/2/4 in", "two numbers"),
        ("½5 in", "two numbers"),
        ("2 ft .5 in", "two numbers"),
        ("2 ft −3 in", "two numbers"),
        ("5 in 3 mm", "more than one quantity"),
        ("3 in 2 ft", "more than one quantity"),
        ("2' 12\"", "make 1 ft"),
        ("1° 60'", "make 1 °"),
        ("2.5' 3\"", "only the last"),
        ("1/0 in", "divides by nothing"),
        ("5 1/0 in", "divides by nothing"),
        ("5/812 in", "no rule is divided into 812"),
        ("1 1/7 in", "no rule is divided into 7"),
        ("٣ mm", "arabic-indic digit three"),
        ("５ mm", "fullwidth digit five"),
        ("5 \u200fmm", "right-to-left mark"),
        ("5\u200b mm", "zero width space"),
        ("😀 5 in", "grinning face"),
        ("5 mm\x00", "U+0000"),
        ("9" * 13 + " mm", "more digits"),
        ("999999999999 m", "larger than anything"),
        ("7" * 10_000, "too long"),
        ("\u202e" * 10_000, "too long"),
    ],
)
def test_rejects_in_the_users_words(text: str, said: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text)
    assert said.lower() in str(caught.value.message).lower()


LIKELY = st.text(alphabet=string.digits + " .,/-−–+±'\"′″°½¼infmtlbN·%", max_size=24)


@given(
    text=st.one_of(st.text(max_size=120), LIKELY), unit=st.sampled_from([None, "in", "°", "lbf·ft", "min"])
)
def test_no_text_raises_anything_else(text: str, unit: str | None) -> None:
    try:
        found = parse_quantity(text, default_unit=unit)
    except QuantityError:
        return
    assert abs(found.canonical) <= 2**53


@given(text=LIKELY)
def test_nothing_is_read_where_a_digit_is_lost(text: str) -> None:
    """Whatever is accepted used every digit: dropping any one changes the value or is refused."""
    try:
        found = parse_quantity(text, default_unit="in")
    except QuantityError:
        return
    for place, character in enumerate(text):
        if character in "123456789":
            changed = f"{text[:place]}{(int(character) % 9) + 1}{text[place + 1 :]}"
            try:
                other = parse_quantity(changed, default_unit="in")
            except QuantityError:
                continue
            assert other.quanta != found.quanta or "0/" in text


@pytest.mark.parametrize("text", ["1" * 10_000, "1/" * 5_000, "- " * 40, "1 " * 40, "½" * 80, "9 9/" * 20])
def test_rejects_long_texts_of_any_make(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_quantity(text)


@given(whole=st.integers(0, 400), sixty_fourths=st.integers(0, 63), unit=st.just("in"))
def test_fractions_of_an_inch_are_whole_picometres(whole: int, sixty_fourths: int, unit: str) -> None:
    quantity = Quantity(whole + Fraction(sixty_fourths, 64), unit)
    assert quantity.quanta.denominator == 1
    assert quantity.canonical == whole * 25_400_000_000 + sixty_fourths * 396_875_000


@given(micrometres=st.integers(-(10**9), 10**9))
def test_micrometres_are_whole_picometres(micrometres: int) -> None:
    assert parse_quantity(f"{micrometres} µm").canonical == micrometres * 10**6


def test_torque_is_rounded_half_even() -> None:
    assert Quantity(Fraction(5, 2), "N·m").canonical == 2_500_000
    assert Quantity(Fraction(5, 2 * 10**6), "N·m").canonical == 2
    assert Quantity(Fraction(7, 2 * 10**6), "N·m").canonical == 4
    assert Quantity(Fraction(65), "lbf·ft").canonical == 88_128_167


@pytest.mark.parametrize("unit", UNITS)
def test_every_unit_reads_its_own_name(unit: str) -> None:
    assert parse_quantity(f"12 {unit}") == Quantity(Fraction(12), unit)


def test_another_dimension_is_refused_in_words() -> None:
    with pytest.raises(QuantityError, match="lb is a unit of mass; here a torque is asked, in lbf·ft"):
        parse_quantity("65 lb").to("lbf·ft")
    assert parse_quantity("65 lb").dimension == Dimension.MASS


def test_an_unknown_unit_makes_no_quantity() -> None:
    with pytest.raises(QuantityError, match="furlong"):
        Quantity(Fraction(1), "furlong")

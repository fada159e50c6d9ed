"""Figures as they are called out at a tape: what is certain is read, what is not is refused with both."""

import contextlib
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shop.engineering.limits import parse_limits
from shop.engineering.quantities import QuantityError, parse_quantity

ONES = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven"),
    *("twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"),
)
TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
PARTS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth"}
WORDS = (
    *ONES, *TENS, *PARTS.values(), "halves", "eighths", "sixteenths", "thirty-seconds", "second", "seconds",
    "hundred", "thousand", "thousandths", "and", "a", "an", "of", "point", "minus", "inch", "inches", "feet",
    "degrees", "minutes", "foot-pounds", "-", "1/2", "29", ".5", "plus", "or", "'", '"', "to", "thirty",
)  # fmt: skip


@pytest.mark.parametrize(
    ("said", "value", "unit"),
    [
        # Common practice, no source: readings as fabricators call them out.
        ("29 and a half", Fraction(59, 2), "in"),
        ("one and one-eighth", Fraction(9, 8), "in"),
        ("2 and 11 sixteenths", Fraction(43, 16), "in"),
        ("twenty-nine and a half", Fraction(59, 2), "in"),
        ("Twenty nine and a half in.", Fraction(59, 2), "in"),
        ("three quarters", Fraction(3, 4), "in"),
        ("three-quarter inch", Fraction(3, 4), "in"),
        ("3/4 of an inch", Fraction(3, 4), "in"),
        ("seven and a quarter inches", Fraction(29, 4), "in"),
        ("five thirty-seconds", Fraction(5, 32), "in"),
        ("2 and 11 16ths", Fraction(43, 16), "in"),
        ("5/16ths", Fraction(5, 16), "in"),
        ("29 and 1/2", Fraction(59, 2), "in"),
        ("half", Fraction(1, 2), "in"),
        ("half an inch", Fraction(1, 2), "in"),
        ("an inch and a half", Fraction(3, 2), "in"),
        ("two feet three and a half inches", Fraction(55, 2), "in"),
        ("one hundred and five and a half", Fraction(211, 2), "in"),
        ("five thousandths of an inch", Fraction(1, 200), "in"),
        ("one point seven five", Fraction(7, 4), "in"),
        ("minus a half", Fraction(-1, 2), "in"),
        ("negative two and a half mm", Fraction(-5, 2), "mm"),
        ("minus three quarters of a degree", Fraction(-3, 4), "°"),
        ("two degrees six minutes thirty-six seconds", Fraction(211, 100), "°"),
        ("sixty-five foot-pounds", Fraction(65), "lbf·ft"),
        ("eighty-eight point one newton metres", Fraction(881, 10), "N·m"),
        ("an hour and a half", Fraction(3, 2), "h"),
        ("two minutes thirty seconds", Fraction(5, 2), "min"),
    ],
)
def test_reads_what_is_called_out(said: str, value: Fraction, unit: str) -> None:
    found = parse_quantity(said, default_unit="in")
    assert (found.value, found.unit) == (value, unit)


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ("twenty nine sixteenths", ("1 13/16", "20 9/16")),
        ("one hundred and five eighths", ("13 1/8", "100 5/8")),
        ("two eleven sixteenths", ("2 11/16",)),
        ("seventeen sixteenths", ("1 1/16",)),
        ("one five eighths inch", ("1 5/8 inch",)),
        ("a foot and a half", ("1 1/2 ft", "1' 1/2\"")),
        ("thirty-second", ("1/32", "30 s")),
        ("five thirty seconds", ("five thirty-seconds",)),
        ("six foot three", ('6 foot 3"',)),
    ],
)
def test_refuses_what_only_a_pause_tells_apart(said: str, meant: tuple[str, ...]) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_quantity(said, default_unit="in")
    assert caught.value.meant == meant


@pytest.mark.parametrize(
    "said",
    [
        *("and", "a", "and a half", "one and", "three and three", "2 and 5", "one two", "half and half"),
        *("about a half", "a strong eighth", "one point seventy five", "a half and a quarter", "point"),
        *("twenty twelve", "hundred hundred", "minus", "29 and a half and a quarter"),
    ],
)
def test_rejects_what_is_no_figure(said: str) -> None:
    with pytest.raises(QuantityError):
        parse_quantity(said, default_unit="in")


def _called(n: int) -> str:
    if n < 20:
        return ONES[n]
    if n < 100:
        return TENS[n // 10 - 2] + (f"-{ONES[n % 10]}" if n % 10 else "")
    return f"{ONES[n // 100]} hundred" + (f" {_called(n % 100)}" if n % 100 else "")


@given(st.integers(0, 999), st.integers(0, 63), st.sampled_from(["", " inches", " in"]))
def test_whatever_a_tape_shows_is_read_as_it_is_said(whole: int, lines: int, unit: str) -> None:
    """But whole hundreds: “three hundred and three sixty-fourths” could be 303/64, and is refused."""
    assume(whole % 100 or not whole)
    value = Fraction(lines, 64)
    part = ""
    if lines:
        name, count = PARTS[value.denominator], value.numerator
        part = f"a {name}" if count == 1 else f"{_called(count)} {name}s"
    said = " and ".join(each for each in (_called(whole) if whole or not lines else "", part) if each)
    assert parse_quantity(said + unit, default_unit="in").value == whole + value


@given(st.lists(st.sampled_from(WORDS), max_size=9), st.sampled_from([" ", "-"]))
def test_no_words_raise_anything_but_our_own_error(words: list[str], between: str) -> None:
    for read in (parse_quantity, parse_limits):
        with contextlib.suppress(QuantityError):
            read(between.join(words))


@given(st.lists(st.sampled_from(WORDS), max_size=6))
def test_what_is_offered_instead_can_be_read(words: list[str]) -> None:
    try:
        parse_quantity(" ".join(words), default_unit="in")
    except QuantityError as error:
        for meant in error.meant:
            if not meant.endswith(("in", "mm", "ft", "″", '"', "′")) and "'" not in meant:
                parse_quantity(meant, default_unit="in")


def test_limits_may_be_said() -> None:
    said = parse_limits("twenty-nine and a half plus or minus a sixteenth inch")
    written = parse_limits("29 1/2 ±1/16 in")
    assert (said.low, said.nominal, said.high) == (written.low, written.nominal, written.high)
    assert (
        parse_limits("sixty-five plus five minus zero foot-pounds").high
        == parse_limits("65 +5 −0 lbf·ft").high
    )

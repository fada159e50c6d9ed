"""Units and fractions against published values: NIST SP 811, the SI Brochure, printed tables."""

import re
from fractions import Fraction

import pytest

from shop.engineering.quantities import (
    QuantityError,
    find_unit,
    format_minutes,
    format_quantity,
    parse_quantity,
)
from tests.reference.rows import Row, rows

FILE = "units_fractions.csv"


def _each(*groups: str) -> pytest.MarkDecorator:
    found = rows(FILE, *groups)
    assert found
    return pytest.mark.parametrize("row", found, ids=repr)


@_each("factor", "inverse factor", "published rounded factor", "worked conversion")
def test_conversion_published(row: Row) -> None:
    assert row.accepts(parse_quantity(row.inputs).to(find_unit(row.unit)).value)


@_each("angle parse")
def test_degrees_and_minutes_published(row: Row) -> None:
    assert row.accepts(parse_quantity(row.inputs).to("°").value)


@_each("angle format")
def test_angle_in_minutes_published(row: Row) -> None:
    sign, degrees, minutes = re.fullmatch(r"([+-])(\d+) deg ([\d.]+) min", row.expected).groups()
    shown = format_minutes(parse_quantity(row.inputs), places=1, signed=True)
    assert shown == f"{sign.replace('-', '−')}{degrees}° {minutes}′"


@_each("fraction parse")
def test_inch_text_published(row: Row) -> None:
    assert parse_quantity(row.inputs, default_unit="in").to("in").value == Fraction(row.expected)


@_each("fraction parse reject")
def test_inch_text_rejects_published(row: Row) -> None:
    with pytest.raises(QuantityError):
        parse_quantity(row.inputs.strip("'"), default_unit="in")


@_each("fraction to mm")
def test_inch_text_in_mm_published(row: Row) -> None:
    assert row.accepts(parse_quantity(row.inputs, default_unit="in").to("mm").value)


@_each("nearest fraction")
def test_nearest_fraction_published(row: Row) -> None:
    denominator = int(re.search(r"1/(\d+) in", row.quantity)[1])
    assert format_quantity(parse_quantity(row.inputs), fraction=denominator) == f"{row.expected} in"


@_each("rounding tie")
def test_rounding_tie_is_half_up_published(row: Row) -> None:
    """The row leaves the rule open; the shop's is half up, away from zero."""
    denominator = int(re.search(r"1/(\d+) in", row.quantity)[1])
    half_up = re.search(r"half-up ([\d/]+)", row.expected)[1]
    tie = parse_quantity(row.inputs)
    assert format_quantity(tie, fraction=denominator) == f"{half_up} in"
    below = parse_quantity(f"-{row.inputs}")
    assert format_quantity(below, fraction=denominator) == f"−{half_up} in"

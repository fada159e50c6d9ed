"""Vehicle identification numbers against published values: 49 CFR 565 and printed examples."""

import re

import pytest

from shop.engineering.vin import (
    VALUES,
    WEIGHTS,
    SerialStatus,
    check_digit,
    check_serial,
    model_years,
    possible_model_years,
    weighted_sum,
)
from tests.reference.rows import Row, rows

FILE = "vin_gs1_barcode.csv"


def _each(*groups: str) -> pytest.MarkDecorator:
    found = rows(FILE, *groups)
    assert found
    return pytest.mark.parametrize("row", found, ids=repr)


@_each("VIN check digit")
def test_check_digit_published(row: Row) -> None:
    vin = row.inputs
    assert row.expected == f"valid; check={check_digit(vin)}; sum={weighted_sum(vin)}"
    assert vin[8] == check_digit(vin)


@_each("VIN invalid")
def test_failed_check_digit_published(row: Row) -> None:
    vin = row.inputs
    assert row.expected == f"invalid; computed={check_digit(vin)}; found={vin[8]}"
    years = possible_model_years(vin, north_america=True)
    found = check_serial(vin, model_year=years[0], north_america=True)
    assert (found.status, found.position) == (SerialStatus.ERROR, 9)


@_each("VIN format")
def test_refused_before_the_check_digit_published(row: Row) -> None:
    found = check_serial(row.inputs.strip("'"), model_year=2005)
    reason = row.expected.removeprefix("format error: ")
    said = (
        f"is {reason.removeprefix('contains ')}, which" if "contains" in reason else "letters and digits only"
    )
    assert found.status == SerialStatus.ERROR
    assert said in found.message
    assert "check digit" not in found.message


@_each("VIN blind spot")
def test_what_the_check_digit_cannot_see_published(row: Row) -> None:
    assert row.expected == "passes although wrong"
    assert check_digit(row.inputs) == row.inputs[8]


@_each("VIN transliteration")
def test_value_of_a_letter_published(row: Row) -> None:
    assert VALUES[row.inputs] == int(row.expected)


@_each("VIN weight")
def test_weight_of_a_position_published(row: Row) -> None:
    assert WEIGHTS[int(row.inputs.split()[1]) - 1] == int(row.expected)


@pytest.mark.parametrize(
    "row", [row for row in rows(FILE, "model year") if row.inputs.startswith("position 10")], ids=repr
)
def test_model_year_code_published(row: Row) -> None:
    years = model_years(row.inputs[-1])
    assert row.expected == (" or ".join(str(year) for year in years) or "invalid code")


@pytest.mark.parametrize(
    "row", [row for row in rows(FILE, "model year") if not row.inputs.startswith("position 10")], ids=repr
)
def test_cycle_of_model_years_published(row: Row) -> None:
    in_scope = "outside" not in row.quantity
    years = possible_model_years(row.inputs.split()[0], north_america=in_scope)
    assert tuple(int(year) for year in re.findall(r"\d{4}", row.expected)) == years


@_each("pre-1981 serial")
def test_serials_before_the_standard_published(row: Row) -> None:
    year = int(re.search(r"vehicle year (\d{4})", row.inputs)[1])
    length = int(re.search(r"(\d+) (?:digits|characters)", row.inputs)[1])
    found = check_serial("1G4AH59H55G118341"[:length], model_year=year)
    verdict, _, _rest = row.expected.partition(" ")
    assert found.is_accepted == (verdict.strip(";:") == "accept")
    assert ("advisory" in row.expected) == (found.status == SerialStatus.WARNING)
    assert ("17 required" in row.expected) == ("17 characters" in found.message)

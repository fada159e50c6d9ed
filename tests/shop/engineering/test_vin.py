"""Checking the identity of a car as it was typed."""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.vin import (
    VALUES,
    SerialStatus,
    check_digit,
    check_serial,
    possible_model_years,
    weighted_sum,
)

GOOD, WARNING, ERROR = SerialStatus.GOOD, SerialStatus.WARNING, SerialStatus.ERROR
INVENTED = "ZZ9AB12C" + "0" + "X1234567"
CHARACTERS = "".join(VALUES)


def _with_check_digit(vin: str) -> str:
    return f"{vin[:8]}{check_digit(vin)}{vin[9:]}"


STAMPED = _with_check_digit(f"{INVENTED[:6]}1C0{'K'}{INVENTED[10:]}")
VINS = st.text(alphabet=CHARACTERS, min_size=17, max_size=17).map(_with_check_digit)


@pytest.mark.parametrize(
    ("serial", "year", "north_america", "status", "said"),
    [
        (STAMPED, 1989, True, GOOD, ""),
        (f" {STAMPED[:4]} {STAMPED[4:].lower()} ", 1989, True, GOOD, ""),
        (STAMPED, 1990, True, WARNING, "stands for model year 1989, not 1990"),
        (STAMPED[:-1], 1989, True, ERROR, "this one of 1989 has 16"),
        (STAMPED[:-1], 1989, False, WARNING, "this one has 16"),
        ("114027S123456", 1964, True, GOOD, ""),
        ("114-027 / s 123", 1964, True, GOOD, ""),
        ("IOQ", 1970, False, GOOD, ""),
        ("", 1964, True, ERROR, "Enter the VIN"),
        ("   ", 1989, True, ERROR, "Enter the VIN"),
        ("12\x0034", 1964, True, ERROR, "Position 3"),
        ("7" * 41, 1964, True, ERROR, "too long"),
    ],
)
def test_checks_what_applies(
    serial: str, year: int, north_america: bool, status: SerialStatus, said: str
) -> None:
    found = check_serial(serial, model_year=year, north_america=north_america)
    assert found.status == status
    assert said in found.message
    assert bool(said) == bool(found.message)
    assert found.is_accepted == (status != ERROR)


def test_an_early_serial_stands_as_it_was_stamped() -> None:
    found = check_serial("  114-027  s 123 ", model_year=1964)
    assert (found.normalised, found.is_standard) == ("114-027 s 123", False)


def test_a_vin_is_written_in_capitals_without_blanks() -> None:
    found = check_serial(f"{STAMPED[:5]} {STAMPED[5:]}".lower(), model_year=1989)
    assert (found.normalised, found.is_standard) == (STAMPED, True)


@pytest.mark.parametrize(
    ("character", "hint"),
    [
        ("I", "is it 1"),
        ("O", "is it 0"),
        ("Q", "is it 0"),
        ("-", "letters and digits only"),
        ("Ä", "letters and digits only"),
    ],
)
@pytest.mark.parametrize("north_america", [True, False])
def test_names_the_position_of_a_wrong_character(character: str, hint: str, north_america: bool) -> None:
    found = check_serial(
        f"{STAMPED[:12]}{character}{STAMPED[13:]}", model_year=1989, north_america=north_america
    )
    assert (found.status, found.position) == (ERROR, 13)
    assert "Position 13" in found.message
    assert hint in found.message


@pytest.mark.parametrize(
    ("year", "north_america", "status"),
    [
        (1989, True, ERROR),
        (1989, False, WARNING),
        (1980, True, WARNING),
        (1980, False, WARNING),
        (1979, True, GOOD),
    ],
)
def test_a_failed_check_digit_weighs_by_year_and_place(
    year: int, north_america: bool, status: SerialStatus
) -> None:
    swapped = STAMPED[:-2] + STAMPED[-1] + STAMPED[-2]
    found = check_serial(swapped, model_year=year, north_america=north_america)
    assert found.status == status
    assert found.position == (None if status == GOOD else 9)
    assert ("should be" in found.message) == (status != GOOD)


def test_a_year_position_without_a_year_is_a_warning() -> None:
    odd = _with_check_digit(f"{STAMPED[:9]}U{STAMPED[10:]}")
    found = check_serial(odd, model_year=1989)
    assert (found.status, found.position) == (WARNING, 10)
    assert "no model year" in found.message
    assert possible_model_years(odd, north_america=True) == ()


def test_the_cycle_comes_from_position_7() -> None:
    later = _with_check_digit(f"{STAMPED[:6]}B{STAMPED[7:]}")
    assert possible_model_years(STAMPED, north_america=True) == (1989,)
    assert possible_model_years(later, north_america=True) == (2019,)
    assert possible_model_years(later, north_america=False) == (1989, 2019)


@pytest.mark.parametrize("text", ["", STAMPED[:-1], STAMPED.replace("K", "I")])
def test_rejects_a_sum_of_what_is_no_vin(text: str) -> None:
    with pytest.raises(ValueError, match="not a 17-character VIN"):
        weighted_sum(text)


@given(vin=VINS, place=st.integers(0, 16), other=st.sampled_from(CHARACTERS))
def test_every_single_wrong_character_of_another_value_is_seen(vin: str, place: int, other: str) -> None:
    changed = f"{vin[:place]}{other}{vin[place + 1 :]}"
    is_seen = check_digit(changed) != changed[8]
    if place == 8:
        assert is_seen == (other != vin[8])
    else:
        assert is_seen == (VALUES[other] != VALUES[vin[place]])


@given(
    text=st.one_of(
        st.text(max_size=60), st.text(alphabet=string.ascii_uppercase + string.digits, max_size=18)
    ),
    year=st.integers(1900, 2045),
    north_america=st.booleans(),
)
def test_never_raises_and_always_says_why(text: str, year: int, north_america: bool) -> None:
    found = check_serial(text, model_year=year, north_america=north_america)
    assert (found.status == GOOD) == (not found.messages)

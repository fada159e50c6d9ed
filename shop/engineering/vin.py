"""The identity stamped on a car: 17-character VINs with their check digit, and makers' own serials."""

from dataclasses import dataclass
from enum import StrEnum

from shop.engineering.words import Words
from shop.engineering.words import say as _

VIN_LENGTH = 17
FIRST_STANDARD_YEAR = 1981
LONGEST_SERIAL = 40
CHECK_POSITION, YEAR_POSITION, CYCLE_POSITION = 9, 10, 7

# 49CFR565 table III: the assigned value of each character; I, O and Q are not used.
VALUES = {
    **{digit: int(digit) for digit in "0123456789"},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    "P": 7,
    "R": 9,
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
}
# 49CFR565 table IV: the weight of each position.
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
# 49CFR565 table VII: the codes of thirty model years, from 1980 and again from 2010.
YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"
FIRST_CYCLE, SECOND_CYCLE = 1980, 2010


class SerialStatus(StrEnum):
    """Whether a serial may stand in the record."""

    GOOD = "good"
    WARNING = "warning"
    ERROR = "error"


@dataclass(frozen=True)
class SerialCheck:
    """What a check of a serial found. `position` counts from 1 and is the first that is wrong."""

    status: SerialStatus
    normalised: str
    messages: tuple[Words, ...] = ()
    position: int | None = None
    is_standard: bool = False

    @property
    def message(self) -> str:
        """All that is to be said, in one text; empty when all is well."""
        return " ".join(self.messages)

    @property
    def is_accepted(self) -> bool:
        return self.status != SerialStatus.ERROR


def weighted_sum(vin: str) -> int:
    """The sum of the values of a VIN's characters times the weights of their positions.

    Args:
        vin: 17 characters of `VALUES`.
    Returns: the sum.
    Raises:
        ValueError: for another length or character.

    Valid for 17-character VINs. Source: 49CFR565 565.15(c), tables III and IV
    """
    if len(vin) != VIN_LENGTH or any(character not in VALUES for character in vin):
        raise ValueError(f"{vin!r} is not a 17-character VIN")
    return sum(VALUES[character] * weight for character, weight in zip(vin, WEIGHTS, strict=True))


def check_digit(vin: str) -> str:
    """The check digit that belongs at position 9.

    Args:
        vin: 17 characters of `VALUES`; that at position 9 does not count.
    Returns: "0" to "9" or "X".
    Raises:
        ValueError: for another length or character.

    Valid for 17-character VINs. It sees every single wrong character and most swapped ones, but not one
    changed to another of the same value, as A to J. Source: 49CFR565 565.15(c)
    """
    return "0123456789X"[weighted_sum(vin) % 11]


def model_years(code: str) -> tuple[int, ...]:
    """The model years that a code at position 10 can stand for.

    Args:
        code: one character.
    Returns: two years thirty years apart; none for what is no code (I, O, Q, U, Z, 0).

    Valid for model years 1980 to 2039. Source: 49CFR565 table VII
    """
    place = YEAR_CODES.find(code) if code else -1
    return (FIRST_CYCLE + place, SECOND_CYCLE + place) if place >= 0 else ()


def possible_model_years(vin: str, *, north_america: bool) -> tuple[int, ...]:
    """The model years that a VIN can stand for.

    Args:
        vin: 17 characters.
        north_america: built for North America; there position 7 tells the cycle of a car or light truck:
            a digit up to 2009, a letter from 2010.
    Returns: one year, two where the cycle is open, none where position 10 is no code.

    Valid for cars and light trucks up to 10,000 lb, model years 1980 to 2039.
    Source: 49CFR565 565.15(b), (d)
    """
    years = model_years(vin[YEAR_POSITION - 1])
    if north_america and years:
        return years[:1] if vin[CYCLE_POSITION - 1].isdigit() else years[1:]
    return years


def check_serial(text: str, *, model_year: int, north_america: bool = True) -> SerialCheck:
    """Check the identity of a car as it was typed.

    Args:
        text: the VIN or the maker's serial, as typed.
        model_year: the car's model year.
        north_america: whether it was built for North America.
    Returns: what was found. From model year 1981 in North America 17 characters and a right check digit
        are required; elsewhere a wrong one is a warning; before 1981 a serial stands as it is, and a
        17-character one of 1980 gets advice only.

    Valid for any text; never raises for one. Source: 49CFR565 565.13 to 565.15; ISO3779 (characters)
    """
    serial = " ".join(text.split())
    broken = _unreadable(serial)
    if broken is not None:
        return broken
    vin = serial.replace(" ", "").upper()
    if model_year < FIRST_STANDARD_YEAR:
        return _check_early(serial, vin, model_year)
    if len(vin) != VIN_LENGTH:
        if north_america:
            return SerialCheck(SerialStatus.ERROR, vin, (_wrong_length(vin, model_year),))
        return SerialCheck(SerialStatus.WARNING, serial, (_unusual_length(vin),))
    wrong = _wrong_character(vin)
    return wrong or _check_standard(vin, model_year, north_america=north_america)


def _unreadable(serial: str) -> SerialCheck | None:
    if not serial:
        return SerialCheck(SerialStatus.ERROR, "", (_("Enter the VIN or the maker's serial"),))
    if len(serial) > LONGEST_SERIAL:
        said = _("That is too long for a serial: %(count)d characters", count=len(serial))
        return SerialCheck(SerialStatus.ERROR, serial[:LONGEST_SERIAL], (said,))
    for position, character in enumerate(serial, 1):
        if not character.isprintable():
            said = _("Position %(position)d holds a character that cannot be printed", position=position)
            return SerialCheck(SerialStatus.ERROR, serial, (said,), position)
    return None


def _check_early(serial: str, vin: str, model_year: int) -> SerialCheck:
    """Before the standard: as the maker stamped it; a 17-character one of 1980 may follow it already."""
    is_vin = model_year == FIRST_CYCLE and len(vin) == VIN_LENGTH and all(c in VALUES for c in vin)
    if is_vin and check_digit(vin) != vin[CHECK_POSITION - 1]:
        return SerialCheck(SerialStatus.WARNING, serial, (_wrong_check_digit(vin),), CHECK_POSITION)
    return SerialCheck(SerialStatus.GOOD, serial, is_standard=is_vin)


def _wrong_length(vin: str, model_year: int) -> Words:
    return _(
        "A VIN has 17 characters from model year 1981; this one of %(year)d has %(count)d",
        year=model_year,
        count=len(vin),
    )


def _unusual_length(vin: str) -> Words:
    return _(
        "Most VINs have 17 characters from model year 1981; this one has %(count)d. Compare it with the car",
        count=len(vin),
    )


def _wrong_character(vin: str) -> SerialCheck | None:
    for position, character in enumerate(vin, 1):
        if character in VALUES:
            continue
        alike = {"I": "1", "O": "0", "Q": "0"}.get(character)
        if alike:
            said = _(
                "Position %(position)d is %(letter)s, which no VIN contains; is it %(digit)s?",
                position=position,
                letter=character,
                digit=alike,
            )
        else:
            said = _(
                "Position %(position)d is “%(character)s”; a VIN has letters and digits only",
                position=position,
                character=character,
            )
        return SerialCheck(SerialStatus.ERROR, vin, (said,), position)
    return None


def _check_standard(vin: str, model_year: int, *, north_america: bool) -> SerialCheck:
    messages: list[Words] = []
    status, position = SerialStatus.GOOD, None
    if check_digit(vin) != vin[CHECK_POSITION - 1]:
        messages.append(_wrong_check_digit(vin))
        status = SerialStatus.ERROR if north_america else SerialStatus.WARNING
        position = CHECK_POSITION
    years = possible_model_years(vin, north_america=north_america)
    if north_america and model_year not in years:
        messages.append(_other_year(vin, years, model_year))
        status = SerialStatus.WARNING if status == SerialStatus.GOOD else status
        position = position or YEAR_POSITION
    return SerialCheck(status, vin, tuple(messages), position, is_standard=True)


def _wrong_check_digit(vin: str) -> Words:
    return _(
        "The check digit at position 9 is %(found)s and should be %(expected)s: some character is wrong, or "
        "two are swapped. Compare it with the car",
        found=vin[CHECK_POSITION - 1],
        expected=check_digit(vin),
    )


def _other_year(vin: str, years: tuple[int, ...], model_year: int) -> Words:
    code = vin[YEAR_POSITION - 1]
    if not years:
        return _("Position 10 is %(code)s, which stands for no model year", code=code)
    return _(
        "Position 10 is %(code)s, which stands for model year %(years)d, not %(given)d",
        code=code,
        years=years[0],
        given=model_year,
    )

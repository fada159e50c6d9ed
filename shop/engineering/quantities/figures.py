"""Numbers as people write them: whole, decimal, fraction, whole and fraction."""

import re
from fractions import Fraction

from shop.engineering.errors import QuantityError
from shop.engineering.words import say as _

NUMBER = r"(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+\.?[0-9]*|\.[0-9]+)"

# Halves to 128ths, thirds, fifths, sixths, twelfths, tenths to thousandths: what rules and dials are cut in.
_DENOMINATORS = frozenset((2, 4, 8, 16, 32, 64, 128, 3, 5, 6, 12, 10, 100, 1000))

_MIXED = re.compile(r"(?:(?P<whole>[0-9]+)[ -])?(?P<numerator>[0-9]+)/(?P<denominator>[0-9]+)")


def read_number(text: str) -> Fraction:
    """The exact value of a number without sign.

    Args:
        text: matches `NUMBER`.
    Returns: the value.
    Raises:
        QuantityError: for a denominator of 0 or one that no rule is cut in (5/812), a fraction of one or
            more after a whole number, and one such as 17/16 that a lost blank could have made (1 7/16).

    Valid for any text that matches. Source: HOUSE (fractions as on a rule, joined by a hyphen or a blank)
    """
    match = _MIXED.fullmatch(text)
    if match is None:
        whole, _point, decimals = text.partition(".")
        return Fraction(int(f"{whole or 0}{decimals}"), 10 ** len(decimals))
    numerator, denominator = int(match["numerator"]), int(match["denominator"])
    if denominator == 0:
        raise QuantityError(_("%(fraction)s divides by nothing", fraction=text))
    if denominator not in _DENOMINATORS:
        raise QuantityError(
            _(
                "%(fraction)s: no rule is divided into %(count)d",
                fraction=f"{numerator}/{denominator}",
                count=denominator,
            )
        )
    part = Fraction(numerator, denominator)
    if match["whole"] is None:
        if part >= 1:
            _refuse_lost_blank(match["numerator"], match["denominator"], part)
        return part
    if part >= 1:
        raise QuantityError(
            _("After a whole number %(fraction)s is one or more", fraction=f"{numerator}/{denominator}"),
            (mixed_text(int(match["whole"]) + part),),
        )
    return int(match["whole"]) + part


def mixed_text(value: Fraction) -> str:
    """A value from 0 as whole and fraction: 29 1/2.

    Args:
        value: not negative.
    Returns: the text, its fraction reduced.

    Valid for every value from 0. Source: HOUSE (fractions as on a rule)
    """
    whole, part = divmod(value, 1)
    if part == 0:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)


def _refuse_lost_blank(numerator: str, denominator: str, value: Fraction) -> None:
    for cut in range(1, len(numerator)):
        whole, rest = numerator[:cut], numerator[cut:]
        if not rest.startswith("0") and int(rest) < int(denominator):
            meant = (mixed_text(value), f"{whole} {rest}/{denominator}")
            raise QuantityError(
                _(
                    "%(fraction)s could be %(one)s, or %(other)s without its blank",
                    fraction=f"{numerator}/{denominator}",
                    one=meant[0],
                    other=meant[1],
                ),
                meant,
            )


def decimal_text(value: Fraction, places: int) -> str:
    """A value with so many decimals, an exact half away from zero; a true minus; no −0.

    Args:
        value: any.
        places: how many decimals, from 0.
    Returns: the text.

    Valid for every value. Source: HOUSE (halves away from zero, as in shop practice)
    """
    scaled = round_half_away(value * 10**places)
    digits = str(abs(scaled)).rjust(places + 1, "0")
    sign = "−" if scaled < 0 else ""
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else f"{sign}{digits}"


def departure_text(value: float, places: int, unit: str) -> str:
    """How far something is off, with its sign and unit: +0.12°, −1.5 mm.

    Args:
        value: how far, in that unit; finite.
        places: decimals that are shown.
        unit: follows the number as it is.
    Returns: the text; empty where nothing is left of it at that many decimals.

    Valid for any value. Source: HOUSE (what is off by nothing is not said)
    """
    text = decimal_text(Fraction(value), places)
    if not text.strip("−0."):
        return ""
    return f"{text if value < 0 else f'+{text}'}{unit}"


def round_half_away(value: Fraction) -> int:
    """The nearest whole number, an exact half away from zero.

    Args:
        value: any.
    Returns: the whole number.

    Valid for every value. An exact half goes up, as in shop practice: 9/64 to the nearest 1/32 is 5/32.
    Standards that take the even one are cited because this is on purpose not theirs.
    Source: HOUSE (half up); not SP811 B.7.1 and ASTM-E29 (half even)
    """
    nearest = (abs(value) + Fraction(1, 2)).__floor__()
    return -nearest if value < 0 else nearest

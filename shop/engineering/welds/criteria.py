"""Visual criteria of the structural code, column for static load; a car's are loaded again and again."""

from fractions import Fraction
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.words import say as _

_UNDERSIZE: Final = ((Fraction(3, 16), Fraction(1, 16)), (Fraction(1, 4), Fraction(3, 32)))
_UNDERSIZE_ABOVE: Final = Fraction(1, 8)
SHARE_OF_LENGTH: Final = 0.10
PORES_PER_INCH, PORES_PER_FOOT = 3 / 8, 3 / 4


def crack_accepted(length_in: float) -> bool:
    """Whether a crack may stay.

    Args:
        length_in: inches.
    Returns: never, above nothing.

    Valid for every weld. Source: D1.1 (table 8.1 item 1, 6.1 before 2020)
    """
    return length_in <= 0


def undersize_allowed(nominal_in: Fraction) -> Fraction:
    """How much a fillet may be under its size, on at most a tenth of its length.

    Args:
        nominal_in: leg, inches.
    Returns: inches.
    Raises:
        QuantityError: the leg is not above nothing.

    Valid for static load. Source: D1.1 (table 8.1 item 6)
    """
    if nominal_in <= 0:
        raise QuantityError(_("A leg is above nothing"))
    return next((under for most, under in _UNDERSIZE if nominal_in <= most), _UNDERSIZE_ABOVE)


def undersize_accepted(nominal_in: float, found_in: float, short_length_in: float, length_in: float) -> bool:
    """Whether a fillet that is under its size in places may stay.

    Args:
        nominal_in: leg that is asked, inches.
        found_in: leg found at the worst place, inches.
        short_length_in: how long it is under its size, inches.
        length_in: of the whole weld, inches.
    Returns: whether.
    Raises:
        QuantityError: a length is not above nothing, or the part is longer than the whole.

    Valid for static load; not at the ends of web-to-flange welds. Source: D1.1 (table 8.1 item 6)
    """
    if length_in <= 0 or not 0 <= short_length_in <= length_in:
        raise QuantityError(_("The part that is short is no longer than the weld"))
    if found_in >= nominal_in:
        return True
    allowed = float(undersize_allowed(Fraction(nominal_in)))
    return nominal_in - found_in <= allowed and short_length_in <= SHARE_OF_LENGTH * length_in


def undercut_accepted(
    undercut_in: float, thickness_in: float, *, length_in: float, within_in: float = 12.0
) -> bool:
    """Whether an undercut may stay.

    Args:
        undercut_in: depth, inches.
        thickness_in: of the metal, inches.
        length_in: how long it is, put together, inches.
        within_in: of how much weld, inches.
    Returns: whether: 1/32 in anywhere, to 1/16 in on 2 in of any 12 in.
    Raises:
        QuantityError: a figure is below nothing, or the metal is 1 in or thicker.

    Valid for static load on metal thinner than 1 in. Source: D1.1 (table 8.1 item 7A)
    """
    if not 0 < thickness_in < 1 or undercut_in < 0 or length_in < 0 or within_in <= 0:
        raise QuantityError(
            _("This rule is for metal thinner than 1 in and lengths that are not below nothing")
        )
    if undercut_in <= 1 / 32:
        return True
    return undercut_in <= 1 / 16 and length_in <= 2 * max(1.0, within_in / 12)


def porosity_allowed() -> tuple[float, float]:
    """Sums of the diameters of visible pores that a fillet may have.

    Args:
    Returns: in any inch, in any foot of weld; inches, pores of 1/32 in and over counted.

    Valid for static load. Source: D1.1 (table 8.1 item 8A, from memory)
    """
    return PORES_PER_INCH, PORES_PER_FOOT


def back_step_is_opposite() -> bool:
    """Whether the short beads of back-step welding run against the way that the weld grows.

    Args:
    Returns: they do.

    Valid for back-step welding. Source: TWI-DISTORTION
    """
    return True

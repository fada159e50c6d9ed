"""Plug welds: hole, filling, spacing, and how thin sheet differs."""

import math
from fractions import Fraction
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.words import say as _

SIXTEENTH: Final = Fraction(1, 16)
FULL_TO_IN: Final = Fraction(5, 8)


def least_plug_hole(thickness_in: Fraction) -> Fraction:
    """The least hole for a plug weld.

    Args:
        thickness_in: of the part with the hole, inches.
    Returns: thickness and 5/16 in, raised to an odd sixteenth; inches.
    Raises:
        QuantityError: the thickness is not above nothing.

    Valid from 1/8 in; for thinner sheet see `thin_plug_diameter`. The step to an odd sixteenth is AISC's;
    AWS D1.1 only prefers it. Source: AISC360 (J2.3b)
    """
    _require(thickness_in)
    sixteenths = math.ceil((thickness_in + Fraction(5, 16)) / SIXTEENTH)
    return (sixteenths + 1 - sixteenths % 2) * SIXTEENTH


def greatest_plug_hole(thickness_in: Fraction, weld_thickness_in: Fraction) -> Fraction:
    """The greatest hole for a plug weld.

    Args:
        thickness_in: of the part with the hole, inches.
        weld_thickness_in: how high the hole is filled, inches.
    Returns: the larger of the least hole and 1/8 in, and 2 1/4 times the filling; inches.
    Raises:
        QuantityError: a thickness is not above nothing.

    Valid from 1/8 in. Source: AISC360 (J2.3b)
    """
    _require(thickness_in, weld_thickness_in)
    return max(least_plug_hole(thickness_in) + Fraction(1, 8), Fraction(9, 4) * weld_thickness_in)


def plug_filling(thickness_in: Fraction) -> Fraction:
    """How high the hole is filled.

    Args:
        thickness_in: of the part with the hole, inches.
    Returns: full to 5/8 in, above it half the thickness and at least 5/8 in; inches.
    Raises:
        QuantityError: the thickness is not above nothing.

    Valid from 1/8 in. Source: AISC360 (J2.3b)
    """
    _require(thickness_in)
    return thickness_in if thickness_in <= FULL_TO_IN else max(thickness_in / 2, FULL_TO_IN)


def least_plug_spacing(hole_in: Fraction) -> Fraction:
    """The least distance between the centres of plug welds.

    Args:
        hole_in: diameter, inches.
    Returns: four diameters, inches.
    Raises:
        QuantityError: the diameter is not above nothing.

    Valid for structural plug welds. Source: AISC360 (J2.3b); D1.1 (from memory)
    """
    _require(hole_in)
    return 4 * hole_in


def thin_plug_diameter(thickness_in: float, effective_in: float) -> float:
    """The visible diameter that an arc spot or plug weld in sheet needs for its effective one.

    Args:
        thickness_in: of all sheets above the plane that is held, inches.
        effective_in: effective diameter that is wanted, inches.
    Returns: inches.
    Raises:
        QuantityError: a figure is not above nothing, or the effective diameter is over 0.55 of the visible.

    Valid for sheet thinner than 1/8 in. Source: D1.3 (2008, de = 0.7d − 1.5t, at most 0.55d)
    """
    _require(Fraction(thickness_in), Fraction(effective_in))
    visible = (effective_in + 1.5 * thickness_in) / 0.7
    return max(visible, effective_in / 0.55)


def _require(*lengths: Fraction) -> None:
    if not all(length > 0 for length in lengths):
        raise QuantityError(_("A length is above nothing"))

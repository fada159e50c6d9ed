"""Fillet welds: throat, least and greatest leg, with the thickness from which the standard speaks."""

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.words import Words
from shop.engineering.words import say as _

# Thickness up to which (equality included), least leg. Inches; then millimetres.
_INCH: Final = (
    (Fraction(1, 4), Fraction(1, 8)),
    (Fraction(1, 2), Fraction(3, 16)),
    (Fraction(3, 4), Fraction(1, 4)),
)
_INCH_ABOVE: Final = Fraction(5, 16)
_METRIC: Final = ((6, 3), (12, 5), (20, 6))
_METRIC_ABOVE: Final = 8
CYCLIC: Final = Fraction(3, 16)
STRUCTURAL_FROM_IN: Final = Fraction(1, 8)
STRUCTURAL_FROM_MM: Final = Fraction(3)


@dataclass(frozen=True)
class FilletRule:
    """What a code asks of a fillet.

    Attributes:
        least: the leg, in the unit of the thickness.
        source: the standard, with the table.
        warnings: where the rule does not reach, or clashes with another.
    """

    least: Fraction
    source: Words
    warnings: tuple[Words, ...] = ()


def throat(leg: float, other: float | None = None) -> float:
    """The effective throat of a fillet.

    Args:
        leg: one leg, any unit.
        other: the other leg, the same unit; equal when None.
    Returns: the throat, the same unit; equal legs: leg/√2, usually rounded to 0.707 leg.
    Raises:
        QuantityError: a leg is not above nothing.

    Valid for a flat or convex fillet at 90°. Source: D1.1 (effective throat); HOUSE (geometry)
    """
    second = leg if other is None else other
    if leg <= 0 or second <= 0:
        raise QuantityError(_("A leg is above nothing"))
    return leg * second / math.hypot(leg, second)


def least_leg(
    thickness: Fraction,
    other: Fraction | None = None,
    *,
    metric: bool = False,
    low_hydrogen: bool = True,
    cyclic: bool = False,
) -> FilletRule:
    """The least leg of a fillet by the thickness that governs.

    Args:
        thickness: of one part, inches, or millimetres where `metric`.
        other: of the other part, the same unit; as thick when None.
        metric: use the table's column in millimetres.
        low_hydrogen: a process such as GMAW, or preheat worked out: the thinner part governs,
            else the thicker.
        cyclic: the structure is loaded again and again, as a car's is.
    Returns: the rule with its warnings; it never asks for more than the thinner part is thick.
    Raises:
        QuantityError: a thickness is not above nothing.

    Valid from 1/8 in (3 mm): below it D1.1 does not speak, and a warning says so.
    Source: D1.1 (table 7.7 in 2025, 5.7 and 5.8 before); AISC360 (table J2.4)
    """
    second = thickness if other is None else other
    if thickness <= 0 or second <= 0:
        raise QuantityError(_("A thickness is above nothing"))
    thin, thick = sorted((thickness, second))
    least = _table(thin if low_hydrogen else thick, metric=metric)
    warnings = [thin_sheet()] if thin < (STRUCTURAL_FROM_MM if metric else STRUCTURAL_FROM_IN) else []
    floor = Fraction(5) if metric else CYCLIC
    if cyclic and least <= floor and floor > thin:
        least = floor
        warnings.append(
            _("the floor for cyclic loading is thicker than the thinner part: an engineer decides")
        )
    else:
        least = min(thin, max(least, floor) if cyclic else least)
    return FilletRule(least, _("AWS D1.1 table 7.7 (2025), AISC 360 table J2.4"), tuple(warnings))


def greatest_leg_at_edge(edge_thickness_in: float) -> float:
    """The greatest leg along the edge of a plate.

    Args:
        edge_thickness_in: inches.
    Returns: inches.
    Raises:
        QuantityError: the thickness is not above nothing.

    Valid where the drawing does not call for a full throat at the edge. Source: AISC360 (J2.2b)
    """
    if edge_thickness_in <= 0:
        raise QuantityError(_("A thickness is above nothing"))
    return edge_thickness_in if edge_thickness_in < 0.25 else edge_thickness_in - 1 / 16


def least_length(leg: float) -> float:
    """The least effective length of a fillet.

    Args:
        leg: any unit.
    Returns: four legs, the same unit.
    Raises:
        QuantityError: the leg is not above nothing.

    Valid for structural fillets. Source: AISC360 (J2.2b)
    """
    if leg <= 0:
        raise QuantityError(_("A leg is above nothing"))
    return 4 * leg


def thin_sheet() -> Words:
    """What is said of metal that is thinner than the structural code speaks of.

    Args:
    Returns: the sentence.

    Valid below 1/8 in. Source: D1.1 (scope); D1.3 (scope)
    """
    return _(
        "thinner than 1/8 in is not in the structural code (AWS D1.1): AWS D1.3 or the vehicle "
        "maker's data hold"
    )


def _table(thickness: Fraction, *, metric: bool) -> Fraction:
    if metric:
        return Fraction(next((leg for most, leg in _METRIC if thickness <= most), _METRIC_ABOVE))
    return next((leg for most, leg in _INCH if thickness <= most), _INCH_ABOVE)

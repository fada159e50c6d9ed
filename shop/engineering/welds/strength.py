"""What welds may carry: estimates for the lead and the engineer, never an approval."""

import math
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.words import Words
from shop.engineering.words import say as _

# Customary rounding of 1/√2 in strength tables.
THROAT: Final = 0.707
ALLOWABLE, NOMINAL, PHI = 0.30, 0.60, 0.75


def fillet_allowable(strength_ksi: float, leg_in: float, length_in: float = 1.0) -> float:
    """Allowable force on a fillet's throat.

    Args:
        strength_ksi: of the filler metal, ksi.
        leg_in: inches.
        length_in: inches; for each inch when left out.
    Returns: kip.
    Raises:
        QuantityError: a figure is not above nothing.

    Valid in allowable stress design; the base metal is checked for itself.
    Source: SHIGLEY (table 9-6, 0.30·F on a throat of 0.707 leg)
    """
    _require(strength_ksi, leg_in, length_in)
    return ALLOWABLE * strength_ksi * THROAT * leg_in * length_in


def fillet_nominal(strength_ksi: float, leg_in: float, length_in: float, *, angle_deg: float = 0.0) -> float:
    """Nominal strength of a fillet.

    Args:
        strength_ksi: of the filler metal, ksi.
        leg_in: inches.
        length_in: inches.
        angle_deg: between load and weld: 0 along it, 90 across.
    Returns: kip.
    Raises:
        QuantityError: a figure is not above nothing, or the angle is outside of 0 to 90.

    Valid for a straight line of weld loaded in its plane. Source: AISC360 (J2.4, 0.60·F·(1 + 0.5 sin^1.5))
    """
    _require(strength_ksi, leg_in, length_in)
    if not 0 <= angle_deg <= 90:
        raise QuantityError(_("The angle is from 0 to 90 degrees"))
    direction = 1 + 0.5 * math.pow(math.sin(math.radians(angle_deg)), 1.5)
    return NOMINAL * strength_ksi * THROAT * leg_in * length_in * direction


def fillet_design(strength_ksi: float, leg_in: float, length_in: float, *, angle_deg: float = 0.0) -> float:
    """Design strength of a fillet.

    Args:
        strength_ksi: of the filler metal, ksi.
        leg_in: inches.
        length_in: inches.
        angle_deg: between load and weld.
    Returns: kip, 0.75 of the nominal.
    Raises:
        QuantityError: as for the nominal strength.

    Valid in load and resistance factor design. Source: AISC360 (J2.4)
    """
    return PHI * fillet_nominal(strength_ksi, leg_in, length_in, angle_deg=angle_deg)


def plug_allowable(strength_ksi: float, hole_in: float) -> float:
    """Allowable shear of a plug weld.

    Args:
        strength_ksi: of the filler metal, ksi.
        hole_in: diameter at the faying surface, inches.
    Returns: kip.
    Raises:
        QuantityError: a figure is not above nothing.

    Valid in allowable stress design. Source: AISC360 (J2.3a, table J2.5)
    """
    _require(strength_ksi, hole_in)
    return ALLOWABLE * strength_ksi * math.pi * hole_in**2 / 4


def only_an_estimate() -> Words:
    """What is said beside every strength.

    Args:
    Returns: the sentence.

    Valid always. Source: HOUSE (a computed strength approves nothing)
    """
    return _(
        "An estimate for the lead: it approves nothing. The base metal, fatigue and the kit maker's "
        "figure decide."
    )


def _require(*figures: float) -> None:
    if not all(figure > 0 for figure in figures):
        raise QuantityError(_("The figures are above nothing"))

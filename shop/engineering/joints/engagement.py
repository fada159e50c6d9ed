"""How much thread must be engaged so that the bolt breaks before the thread strips."""

import math

from shop.engineering.errors import QuantityError
from shop.engineering.words import say as _

ROOT_3_3 = 0.57735
DIAMETERS_IN_STEEL = 1.25


def external_shear_area(engaged: float, pitch: float, minor_max: float, pitch_diameter_min: float) -> float:
    """What a bolt's thread shears off at when it strips: π Le/P D1 (P/2 + 0.57735 (d2 - D1)).

    Args:
        pitch: of the thread.
        engaged: length; pitch; minor_max: largest minor diameter of the nut, D1 or Kn;
            pitch_diameter_min: smallest pitch diameter of the bolt, d2 or Es. One unit of length.
    Returns: the square of that unit.
    Raises:
        QuantityError: something is not above nothing, or the nut is bored out beyond the thread.

    Valid for 60° threads. Source: FED-H28; MHB
    """
    _require(engaged, pitch, minor_max, pitch_diameter_min)
    return math.pi * engaged / pitch * minor_max * _tooth(pitch, minor_max, pitch_diameter_min)


def least_engagement(stress_area: float, pitch: float, minor_max: float, pitch_diameter_min: float) -> float:
    """The engagement at which bolt and nut of equal strength fail alike: 2 At P / (π D1 (P/2 + …)).

    Args:
        pitch: of the thread.
        minor_max: largest minor diameter of the nut.
        pitch_diameter_min: smallest pitch diameter of the bolt.
        stress_area: square of the unit of the others; they are as in `external_shear_area`.
    Returns: the unit of length.
    Raises:
        QuantityError: as `external_shear_area`.

    Valid for nut and bolt of one strength. Source: FED-H28; MHB
    """
    _require(stress_area, pitch, minor_max, pitch_diameter_min)
    tooth = _tooth(pitch, minor_max, pitch_diameter_min)
    return 2 * stress_area * pitch / (math.pi * minor_max * tooth)


def least_in_steel(diameter: float) -> float:
    """One and a quarter diameters for a screw in steel or cast iron.

    Args:
        diameter: nominal, above 0.

    Valid for screws in steel or cast iron. Source: TM9-6115
    """
    if diameter <= 0:
        raise QuantityError(_("A diameter is above nothing"))
    return DIAMETERS_IN_STEEL * diameter


def _tooth(pitch: float, minor_max: float, pitch_diameter_min: float) -> float:
    tooth = pitch / 2 + ROOT_3_3 * (pitch_diameter_min - minor_max)
    if tooth <= 0:
        raise QuantityError(_("The nut is bored out beyond the thread: nothing would hold"))
    return tooth


def _require(*values: float) -> None:
    if not all(math.isfinite(value) and value > 0 for value in values):
        raise QuantityError(_("Lengths, pitch and diameters are above nothing"))

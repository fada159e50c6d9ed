"""What a cradle that stands turned does to the wheels, to first order."""

import math
from dataclasses import dataclass

from shop.engineering.errors import GeometryError
from shop.engineering.words import say as _


@dataclass(frozen=True)
class WheelEffects:
    """What is added to each angle, degrees. Camber: top out is above nothing; caster: top rearward.

    Attributes:
        set_back_mm: how far the left wheel is behind the right.
    """

    caster_left: float
    caster_right: float
    camber_left: float
    camber_right: float
    set_back_mm: float


def wheel_effects(roll_deg: float, pitch_deg: float, yaw_deg: float, *, track_mm: float) -> WheelEffects:
    """What roll, pitch and yaw of the cradle add to caster, camber and set-back.

    Args:
        roll_deg: left side up is above nothing.
        pitch_deg: nose down is above nothing.
        yaw_deg: nose to the left is above nothing.
        track_mm: between the wheels.
    Returns: what is added. Toe is left out: the rack turns with the cradle, and the
        steering wheel is set straight last.
    Raises:
        GeometryError: the track is not above nothing.

    Valid to first order, for turns below about 2°; products of a turn with the static angles are left out.
    Source: ISO8855 (signs); HOUSE (a small turn moves the top of the steering axis by the angle)
    """
    if track_mm <= 0:
        raise GeometryError(_("A track is above nothing"))
    return WheelEffects(
        -pitch_deg, -pitch_deg, -roll_deg, roll_deg, track_mm * math.tan(math.radians(yaw_deg))
    )


def set_back_angle(set_back_mm: float, track_mm: float) -> float:
    """The angle of an axle whose one wheel is behind the other.

    Args:
        set_back_mm: along the car.
        track_mm: between the wheels.
    Returns: degrees.
    Raises:
        GeometryError: the track is not above nothing.

    Valid for every set-back. Source: HOUSE (definition, atan(set-back/track))
    """
    if track_mm <= 0:
        raise GeometryError(_("A track is above nothing"))
    return math.degrees(math.atan2(set_back_mm, track_mm))

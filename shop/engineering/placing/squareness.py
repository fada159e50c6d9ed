"""Diagonals, tram lengths, heights: what they say about square and flat, and what they do not."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shop.engineering.errors import GeometryError
from shop.engineering.words import Words
from shop.engineering.words import say as _

STEEL_PER_K = 1.15e-5
UNIBODY_MM, FRAME_MM = 3.0, 5.0


@dataclass(frozen=True)
class Customary:
    """A tolerance that custom takes where the maker gives none."""

    plus_minus_mm: float
    source: Words


def long_diagonal(a: float, b: float, skew_deg: float) -> float:
    """The longer diagonal of a parallelogram that should be a rectangle.

    Args:
        a: one side, any unit.
        b: the other side, the same unit.
        skew_deg: how far its angle is off 90°.
    Returns: the length, the unit of the sides.
    Raises:
        GeometryError: a side is not above nothing.

    Valid for skews up to 90°. Source: HOUSE (law of cosines)
    """
    _require_lengths(a, b)
    return math.sqrt(a * a + b * b + 2 * a * b * math.sin(math.radians(abs(skew_deg))))


def diagonal_difference(a: float, b: float, skew_deg: float) -> float:
    """How much the diagonals of a skewed rectangle differ.

    Args:
        a: one side, any unit.
        b: the other side, the same unit.
        skew_deg: how far its angle is off 90°.
    Returns: longer less shorter, the unit of the sides.
    Raises:
        GeometryError: a side is not above nothing.

    Valid for skews up to 90°. Source: HOUSE (law of cosines, twice)
    """
    longer = long_diagonal(a, b, skew_deg)
    shorter = math.sqrt(a * a + b * b - 2 * a * b * math.sin(math.radians(abs(skew_deg))))
    return longer - shorter


def small_skew_difference(a: float, b: float, skew_deg: float) -> float:
    """The same difference by the rule for small skews.

    Args:
        a: one side, any unit.
        b: the other side, the same unit.
        skew_deg: how far its angle is off 90°.
    Returns: 2ab·skew/√(a²+b²), the unit of the sides.
    Raises:
        GeometryError: a side is not above nothing.

    Valid below about 2°, to the fifth digit at 0.2°. Source: HOUSE (linearised law of cosines)
    """
    _require_lengths(a, b)
    return 2 * a * b * math.radians(abs(skew_deg)) / math.hypot(a, b)


def skew_of_diagonals(a: float, b: float, first: float, second: float) -> float:
    """How far a frame with equal opposite sides is off square, from its diagonals.

    Args:
        a: length of two opposite sides, any unit.
        b: length of the other two, the same unit.
        first: one diagonal, the same unit.
        second: the other diagonal, the same unit.
    Returns: degrees, above nothing where the first diagonal is the longer.
    Raises:
        GeometryError: no frame of these sides has such diagonals.

    Valid where opposite sides are equal: equal diagonals alone do not prove a rectangle, a frame that is
    narrower in front has them too. Source: HOUSE (d1² − d2² = 4ab sin(skew))
    """
    _require_lengths(a, b, first, second)
    sine = (first**2 - second**2) / (4 * a * b)
    if abs(sine) > 1 or not abs(a - b) <= min(first, second) or max(first, second) > a + b:
        raise GeometryError(_("No frame of these sides has these diagonals; measure them again"))
    return math.degrees(math.asin(sine))


def trapezoid_diagonals(front: float, rear: float, length: float) -> tuple[float, float]:
    """The diagonals of a frame that is symmetrical but not as wide in front as behind.

    Args:
        front: width in front, any unit.
        rear: width behind, the same unit.
        length: along the centre line, the same unit.
    Returns: both diagonals: always equal, though it is no rectangle.
    Raises:
        GeometryError: a length is not above nothing.

    Valid for every symmetrical frame. Source: HOUSE (Pythagoras)
    """
    _require_lengths(front, rear, length)
    return (math.hypot(length, (front + rear) / 2),) * 2


def right_angle(leg: float, other: float) -> float:
    """What a tape reads across two legs that stand square.

    Args:
        leg: one leg, any unit.
        other: the other leg, the same unit.
    Returns: the third side, the same unit.
    Raises:
        GeometryError: a leg is not above nothing.

    Valid for every size. Source: HOUSE (Pythagoras, as 3, 4, 5)
    """
    _require_lengths(leg, other)
    return math.hypot(leg, other)


def tram_to_plan(point_to_point: float, height_difference: float) -> float:
    """A tram length laid into the datum plane.

    Args:
        point_to_point: between the tips, any unit.
        height_difference: of the two points over the datum plane, the same unit.
    Returns: the length in the plane, the same unit; sheets give one or the other, and they differ.
    Raises:
        GeometryError: the heights are further apart than the points.

    Valid for every length. Source: HOUSE (Pythagoras)
    """
    _require_lengths(point_to_point)
    if abs(height_difference) > point_to_point:
        raise GeometryError(_("The heights differ by more than the points are apart; measure again"))
    return math.sqrt(point_to_point**2 - height_difference**2)


def twist_of_heights(heights: Sequence[float]) -> float:
    """How far four corners are from one plane.

    Args:
        heights: left front, right front, right rear, left rear, any unit.
    Returns: what each corner is off the best plane, the same unit; left front and right rear are high
        by it where it is above nothing.
    Raises:
        GeometryError: not four heights.

    Valid for the corners of a rectangle seen from above. Source: HOUSE (least-squares plane)
    """
    if len(heights) != 4:
        raise GeometryError(_("Twist is worked out from four corners"))
    return (heights[0] - heights[1] + heights[2] - heights[3]) / 4


def tape_growth(length: float, warmer_k: float, *, per_k: float = STEEL_PER_K) -> float:
    """How much longer a steel tape is than at the temperature it was made for.

    Args:
        length: read, any unit.
        warmer_k: above the tape's reference temperature, kelvin.
        per_k: coefficient of expansion.
    Returns: the growth, the unit of the length.

    Valid for steel tapes in a shop; a frame of steel grows with its tape. Source: GUM H.1 (11.5e-6 per K)
    """
    return length * warmer_k * per_k


def customary_tolerance(*, full_frame: bool) -> Customary:
    """What structural dimensions are customarily held to where the maker gives no figure.

    Args:
        full_frame: a car on a frame; else one whose body carries.
    Returns: plus and minus, with what it is worth.

    Valid as custom only. Source: I-CAR (an answer to readers: subjective, almost outdated)
    """
    size = FRAME_MM if full_frame else UNIBODY_MM
    return Customary(
        size, _("customary, called almost outdated by I-CAR itself; the maker's data come first")
    )


def _require_lengths(*lengths: float) -> None:
    if not all(length > 0 for length in lengths):
        raise GeometryError(_("A length is above nothing"))

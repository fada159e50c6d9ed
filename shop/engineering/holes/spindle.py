"""How fast to turn a drill or hole saw, how hard to feed it, and where the machine's speeds end."""

import math
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.words import Words
from shop.engineering.words import say as _

MM_PER_INCH: Final = 25.4
POINT_ALLOWANCE: Final = 0.3  # of the diameter, for a 118° point


class Tool(StrEnum):
    HSS_DRILL = "high-speed-steel drill"
    COBALT_DRILL = "cobalt drill"
    HOLE_SAW = "bi-metal hole saw"
    SPOT_WELD_CUTTER = "spot-weld cutter"


class Work(StrEnum):
    MILD_STEEL = "mild steel"
    MEDIUM_CARBON = "medium-carbon steel"
    QUENCHED = "quenched and tempered steel"
    STAINLESS = "stainless steel"
    FREE_STAINLESS = "free-machining stainless steel"
    ALUMINIUM = "aluminium"


@dataclass(frozen=True)
class CuttingSpeed:
    """A range of surface speeds: where to begin, and what a hand-held drill bears.

    Attributes:
        start_ft_min: handbook's starting value in a rigid machine, feet a minute.
        hand_low_ft_min, hand_high_ft_min: hand-held practice.
        source: where they come from.
    """

    start_ft_min: int
    hand_low_ft_min: int
    hand_high_ft_min: int
    source: str


_SPEEDS: Final = {
    Work.MILD_STEEL: CuttingSpeed(
        100, 60, 100, "Machinery's Handbook (1006 to 1026); hand-held: common practice"
    ),
    Work.MEDIUM_CARBON: CuttingSpeed(90, 60, 80, "Machinery's Handbook (1030 to 1050); hand-held charts"),
    Work.QUENCHED: CuttingSpeed(
        50, 30, 50, "Machinery's Handbook (275 to 325 HB); hand-held: common practice"
    ),
    Work.STAINLESS: CuttingSpeed(55, 30, 50, "Machinery's Handbook (304); hand-held charts"),
    Work.FREE_STAINLESS: CuttingSpeed(85, 40, 70, "Machinery's Handbook (303); hand-held: common practice"),
    Work.ALUMINIUM: CuttingSpeed(
        300, 200, 300, "hand-held charts; handbooks go to twice as much in a machine"
    ),
}
# Hole saw in sixteenths of an inch: rpm in mild steel. Stainless and tool steel take half, aluminium more.
_SAW_RPM: Final = {9: 580, 12: 460, 16: 350, 18: 300, 24: 230, 28: 195, 40: 135}
_SAW_SHARE: Final = {Work.STAINLESS: 0.5, Work.QUENCHED: 0.5, Work.ALUMINIUM: 1.5}
_FEEDS: Final = (
    (0.125, 0.001, 0.003),
    (0.25, 0.002, 0.006),
    (0.5, 0.004, 0.010),
    (1.0, 0.007, 0.015),
    (math.inf, 0.010, 0.025),
)


def rpm(speed_ft_min: float, diameter_in: float) -> float:
    """Turns a minute for a surface speed: N = 12 V / (π D).

    Args:
        speed_ft_min: feet a minute, above 0.
        diameter_in: inches, above 0.
    Returns: turns a minute.
    Raises:
        QuantityError: one of them is not above nothing.

    Valid for any diameter. Source: MHB (the constant is exact)
    """
    require_above_nothing(speed_ft_min, diameter_in)
    return 12 * speed_ft_min / (math.pi * diameter_in)


def rpm_metric(speed_m_min: float, diameter_mm: float) -> float:
    """Turns a minute for a surface speed: N = 1000 V / (π D).

    Args:
        speed_m_min: metres a minute, above 0.
        diameter_mm: millimetres, above 0.
    Returns: turns a minute.
    Raises:
        QuantityError: one of them is not above nothing.

    Valid for any diameter. Source: MHB
    """
    require_above_nothing(speed_m_min, diameter_mm)
    return 1000 * speed_m_min / (math.pi * diameter_mm)


def surface_speed_ft_min(turns: float, diameter_in: float) -> float:
    """Feet a minute at the rim of a tool that turns. Inverse of `rpm`; the same range and errors.

    Args:
        turns: turns a minute, above 0.
        diameter_in: inches, above 0.

    Valid for any diameter. Source: MHB
    """
    require_above_nothing(turns, diameter_in)
    return math.pi * diameter_in * turns / 12


def surface_speed_m_min(turns: float, diameter_mm: float) -> float:
    """Metres a minute at the rim of a tool that turns. Inverse of `rpm_metric`; the same range and errors.

    Args:
        turns: turns a minute, above 0.
        diameter_mm: millimetres, above 0.

    Valid for any diameter. Source: MHB
    """
    require_above_nothing(turns, diameter_mm)
    return math.pi * diameter_mm * turns / 1000


def cutting_speed(work: Work) -> CuttingSpeed:
    """Surface speeds for a high-speed-steel drill: empirical starting values.

    Args:
        work: what is cut.

    Valid for starting values. Source: MHB (each value names its own)
    """
    return _SPEEDS[work]


def hole_saw_rpm(diameter_in: Fraction, work: Work = Work.MILD_STEEL) -> int:
    """Turns a minute for a bi-metal hole saw.

    Args:
        diameter_in: inches.
        work: what is sawn.
    Returns: turns a minute, down to a multiple of 5; of the next larger size where the chart has none.
    Raises:
        QuantityError: not between 1/2 and 2 1/2 in.

    Valid for 1/2 to 2 1/2 in.
    Source: HOUSE (makers' charts for mild steel, half of it in stainless and tool steel)
    """
    if not Fraction(1, 2) <= diameter_in <= Fraction(5, 2):
        raise QuantityError(_("The chart has hole saws from 1/2 to 2 1/2 in"))
    size = min(size for size in _SAW_RPM if size >= diameter_in * 16)
    return math.floor(_SAW_RPM[size] * _SAW_SHARE.get(work, 1) / 5) * 5


def feed_in_per_turn(diameter_in: float) -> tuple[float, float]:
    """The least and the most feed of a drill for one turn.

    Args:
        diameter_in: inches, above 0.
    Returns: inches a turn.
    Raises:
        QuantityError: the diameter is not above nothing.

    Valid for twist drills. Source: MHB; HOUSE (rows of 1/8 to 1/4 and 1/2 to 1 in from memory)
    """
    require_above_nothing(diameter_in)
    return next((least, most) for up_to, least, most in _FEEDS if diameter_in <= up_to)


def drilling_time_s(depth_in: float, diameter_in: float, turns: float, feed_in: float) -> float:
    """Seconds to drill through, the point of 118° included.

    Args:
        depth_in: thickness, inches; diameter_in: inches; turns: a minute; feed_in: inches a turn; above 0.
    Returns: seconds.
    Raises:
        QuantityError: one of them is not above nothing.

    Valid for twist drills fed evenly. Source: HOUSE (0.3 D for the point, exactly 0.3004 D)
    """
    require_above_nothing(depth_in, diameter_in, turns, feed_in)
    return 60 * (depth_in + POINT_ALLOWANCE * diameter_in) / (turns * feed_in)


def same_speed(tool: Tool) -> Words | None:
    """Why a tool's steel does not change its speed; None where the figures are for that tool itself.

    Args:
        tool: what it is cut with.

    Handbooks take cobalt steel where the work is hard, at the speed of that work; no table that was found
    gives both steels on one work and one hardness. So its speed is that of high-speed steel.
    Valid for hand-held drills. Source: HOUSE (equal to high-speed steel, no published difference found)
    """
    if tool is not Tool.COBALT_DRILL:
        return None
    return _(
        "Cobalt steel turns as fast as high-speed steel: it bears more heat and stays sharp longer in hard "
        "work, but it is brittle, so in a hand-held drill it is not driven harder"
    )


def coolant(work: Work, tool: Tool) -> Words:
    """What to put on, in words.

    Args:
        work: what is cut.
        tool: what it is cut with.

    Valid for shop work. Source: HOUSE (common practice, no source)
    """
    if work is Work.ALUMINIUM:
        return _("Kerosene or a wax stick; clear the chips, they weld on")
    if tool is Tool.HOLE_SAW:
        return _("Cutting oil in the kerf; lift out often so that the teeth clear")
    if work in {Work.STAINLESS, Work.FREE_STAINLESS}:
        return _("Sulphurised cutting oil; keep the feed up, rubbing hardens it")
    return _("Cutting oil; on thin sheet of spot welds a drop is enough")


def require_above_nothing(*values: float) -> None:
    """Refuse what no machine turns at.

    Args:
        values: speeds, diameters, feeds.

    Raises:
        QuantityError: one of them is not a finite number above 0.

    Valid for any numbers. Source: HOUSE (nothing cuts that does not turn)
    """
    if not all(math.isfinite(value) and value > 0 for value in values):
        raise QuantityError(_("Speeds, diameters and feeds are above nothing"))

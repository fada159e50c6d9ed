"""Torque wrenches: what to set, which one can, whether it is good; and the order of a pattern."""

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, TypeVar

from shop.engineering.errors import QuantityError
from shop.engineering.words import Words
from shop.engineering.words import say as _

Number = TypeVar("Number", float, Fraction)

SMALL_TOOL_NM: Final = 10
SMALL_TOOL_SHARE, SHARE = 0.06, 0.04
CYCLES: Final = 5000
ROUNDING: Final = 1e-9  # of the binary number, so that 83.2 against 80 is 4 % and not above it
LOWEST_SHARE: Final = Fraction(1, 5)
# Across flats in mm: hex ISO 4014; flange EN 1665 (heavy) and EN 1662 (small).
_HEX: Final = {5: 8, 6: 10, 8: 13, 10: 16, 12: 18, 14: 21, 16: 24, 18: 27, 20: 30, 22: 34, 24: 36}
_FLANGE_HEAVY: Final = {5: 8, 6: 10, 8: 13, 10: 16, 12: 18, 14: 21, 16: 24}
_FLANGE_SMALL: Final = {5: 7, 6: 8, 8: 10, 10: 13, 12: 16, 14: 18, 16: 21}
_HEX_INCH: Final = {
    "1/4": "7/16", "5/16": "1/2", "3/8": "9/16", "7/16": "5/8", "1/2": "3/4", "9/16": "13/16", "5/8": "15/16",
    "3/4": "9/8", "7/8": "21/16", "1": "3/2",
}  # fmt: skip


def permitted_deviation(maximum_nm: float) -> float:
    """What a torque tool may be off: 6 % of the reference with a maximum to 10 N·m, else 4 %.

    Args:
        maximum_nm: the largest torque of the tool, N·m.

    Valid for setting and indicating tools. Source: ISO6789
    """
    return SMALL_TOOL_SHARE if maximum_nm <= SMALL_TOOL_NM else SHARE


@dataclass(frozen=True)
class ToolCheck:
    """One check of a torque tool against a reference.

    Attributes:
        deviation: (set - reference) / reference; below nothing the tool gives more than it says.
        permitted: what it may be off, a share.
    """

    deviation: float
    permitted: float

    @property
    def passes(self) -> bool:
        return abs(self.deviation) <= self.permitted + ROUNDING

    def true_nm(self, set_nm: float) -> float:
        """What arrived at a joint for which this tool was set. Source: the deviation turned round"""
        return set_nm / (1 + self.deviation)


def check_tool(set_nm: float, reference_nm: float, *, maximum_nm: float) -> ToolCheck:
    """A torque tool's deviation, related to the reference and never to the set value.

    Args:
        set_nm: what it was set to or showed; reference_nm: what the tester read; maximum_nm: of the tool.
    Returns: the deviation with what is permitted.
    Raises:
        QuantityError: one of them is not above nothing.

    Valid for setting and indicating tools. Source: ISO6789
    """
    if min(set_nm, reference_nm, maximum_nm) <= 0:
        raise QuantityError(_("Torques are above nothing"))
    return ToolCheck((set_nm - reference_nm) / reference_nm, permitted_deviation(maximum_nm))


def is_due(last: dt.date, cycles: int, *, today: dt.date) -> str:
    """Whether a torque tool must be checked again.

    Args:
        last: its last check; cycles: since then; today: the shop's day.
    Returns: `in date`, `overdue (time)` or `overdue (cycles)`.
    Raises:
        QuantityError: the check lies ahead, or cycles are below nothing.

    Valid where the shop has no rule of its own.
    Source: ISO6789 (12 months or 5000 cycles, the first of both)
    """
    if last > today or cycles < 0:
        raise QuantityError(_("The last check cannot lie ahead, nor cycles be below nothing"))
    day = min(last.day, 28) if last.month == 2 else last.day
    if today > dt.date(last.year + 1, last.month, day):
        return "overdue (time)"
    return "overdue (cycles)" if cycles > CYCLES else "in date"


def at_the_nut(set_nm: float, lever: float, effective: float) -> float:
    """What an extension in line makes of a setting: M2 = M1 L2 / L1.

    Args:
        set_nm: N·m; lever: from the hand to the square, effective: from the hand to the nut, one unit.
    Returns: N·m at the nut.
    Raises:
        QuantityError: a length is not above nothing.

    Valid for an extension in line with the handle. Source: HOUSE (lever rule, as on makers' sheets)
    """
    _require_lengths(lever, effective)
    return set_nm * effective / lever


def setting_for(nut_nm: float, lever: float, extension: float, *, degrees: float = 0) -> float:
    """What to set so that a figure arrives at the nut through a crowfoot or extension.

    Args:
        nut_nm: the figure; lever: hand to square; extension: square to nut, one unit.
        degrees: between handle and extension: 0 in line, 90 square to it, where nothing changes.
    Returns: what to set, N·m.
    Raises:
        QuantityError: a length is not above nothing, or the extension points back beyond the hand.

    Valid for a hand held at the mark of the grip. Source: HOUSE (lever rule, L2 = L1 + e cos a)
    """
    effective = lever + extension * math.cos(math.radians(degrees))
    _require_lengths(lever, effective)
    return nut_nm * lever / effective


def setting_with_prevailing(figure_nm: float, prevailing_nm: float) -> float:
    """What to set on a self-locking nut: the figure and what turning it takes before it seats.

    Args:
        figure_nm: above 0; prevailing_nm: measured on this nut while it runs down, 0 or more.
    Returns: N·m.
    Raises:
        QuantityError: the figure is not above nothing, or the other below it.

    Valid for figures given without it. Source: TM1-1500 (paragraph 4)
    """
    if figure_nm <= 0 or prevailing_nm < 0:
        raise QuantityError(
            _("The figure is above nothing, the prevailing torque is measured while it runs down")
        )
    return figure_nm + prevailing_nm


@dataclass(frozen=True)
class Wrench:
    """A torque wrench as picking one must know it. Torques in N·m; `step_nm` is its scale's division."""

    code: str
    low_nm: Fraction
    high_nm: Fraction
    step_nm: Fraction
    is_in_calibration: bool


def unfit_for(wrench: Wrench, figure_nm: Fraction, *, share: Fraction = LOWEST_SHARE) -> Words | None:
    """Why a wrench cannot set a figure; None where it can.

    Args:
        wrench: the wrench.
        figure_nm: the torque, N·m, above 0.
        share: of its scale from which it is checked; 0 where its certificate says from where on.

    Valid for torque wrenches. Source: ISO6789 (below a fifth of the scale it is not checked)
    """
    if not wrench.is_in_calibration:
        return _("%(code)s is out of calibration", code=wrench.code)
    if figure_nm > wrench.high_nm:
        return _("%(code)s ends below the figure", code=wrench.code)
    if figure_nm < wrench.low_nm:
        return _("%(code)s begins above the figure", code=wrench.code)
    if figure_nm < wrench.high_nm * share:
        return _(
            "The figure lies below a fifth of %(code)s's scale, where it is not checked", code=wrench.code
        )
    return None


def fit_for(wrenches: Sequence[Wrench], figure_nm: Fraction) -> list[Wrench]:
    """The wrenches that can set a figure, the one with the finest scale first.

    Args:
        wrenches: those of the shop.
        figure_nm: the torque, N·m, above 0.

    Valid for torque wrenches. Source: ISO6789
    """
    able = [wrench for wrench in wrenches if unfit_for(wrench, figure_nm) is None]
    return sorted(able, key=lambda wrench: (wrench.step_nm, wrench.high_nm, wrench.code))


def tightening_order(bolts: int) -> tuple[int, ...]:
    """The order for bolts on a circle, numbered round: each next as far from those before as can be.

    Args:
        bolts: 1 to 40.
    Returns: numbers from 1, each once.
    Raises:
        QuantityError: out of that range.

    Valid for even circles. Source: HOUSE (common practice, no source)
    """
    if not 1 <= bolts <= 40:
        raise QuantityError(_("A pattern has 1 to 40 bolts"))
    order = [0]
    while len(order) < bolts:
        rest = (n for n in range(bolts) if n not in order)
        order.append(max(rest, key=lambda n: (_nearest(n, order, bolts), _apart(n, order[-1], bolts), -n)))
    return tuple(n + 1 for n in order)


def _apart(one: int, other: int, bolts: int) -> int:
    return min((one - other) % bolts, (other - one) % bolts)


def _nearest(n: int, order: list[int], bolts: int) -> int:
    return min(_apart(n, other, bolts) for other in order)


def staged_passes(figure: Number) -> tuple[Number, ...]:
    """A third, two thirds, the whole, and the whole once more round. Common practice, no source.

    Args:
        figure: the torque in any unit, above 0.

    Valid for patterns. Source: HOUSE (common practice, no source)
    """
    if figure <= 0:
        raise QuantityError(_("A torque is above nothing"))
    return figure / 3, 2 * figure / 3, figure, figure


def across_flats(diameter: Fraction, *, inch: bool = False, flange: str = "") -> Fraction:
    """The wrench for a hexagon.

    Args:
        inch: the diameter is in inches.
        diameter: of the thread, mm, or inches where `inch`.
        flange: `heavy` (EN 1665) or `small` (EN 1662) for metric flange bolts.
    Returns: across flats, the same unit.
    Raises:
        QuantityError: the table has no such bolt.

    Valid for new bolts; older ones in M10, M12 and M14 take 17, 19 and 22.
    Source: ISO4014; EN1662; EN1665; B18.2.1; HOUSE (sizes beside the reference rows from memory)
    """
    table = {"": _HEX, "heavy": _FLANGE_HEAVY, "small": _FLANGE_SMALL}.get(flange, {})
    found = (
        _HEX_INCH.get(str(diameter))
        if inch
        else table.get(int(diameter))
        if diameter == int(diameter)
        else None
    )
    if found is None:
        raise QuantityError(_("The table of wrench sizes has no such bolt"))
    return Fraction(found)


def _require_lengths(*lengths: float) -> None:
    if min(lengths) <= 0:
        raise QuantityError(_("Lengths of wrench and extension are above nothing"))

"""What arrives at a joint: the setting of the wrench through its extension, less what the nut takes."""

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from shop.engineering.decision.judging import Decision, require_readable
from shop.engineering.decision.rules import Rule
from shop.engineering.decision.thresholds import thresholds_for
from shop.engineering.decision.uncertainty import InstrumentData, quantity_json, reading_variance
from shop.engineering.errors import QuantityError
from shop.engineering.limits import Limits
from shop.engineering.quantities.measures import Quantity
from shop.engineering.words import say as _

# A ratio of lengths is kept to so many parts; finer than any tape tells where the hand is.
PARTS = 10_000


@dataclass(frozen=True)
class Extension:
    """An extension or crowfoot on a wrench.

    Attributes:
        code: of the tool.
        reach: from the square to the nut, a length above nothing.
        lever: of the wrench, from the mark of the hand to the square, a length above nothing.
        degrees: between handle and extension: 0 in line, 90 square to it, where nothing changes.
    """

    code: str
    reach: Quantity
    lever: Quantity
    degrees: int

    @property
    def ratio(self) -> Fraction:
        """What arrives at the nut for each of what is set: (L1 + e cos a) / L1.

        Source: HOUSE (lever rule, as on makers' sheets)
        """
        lever, reach = self.lever.to("mm").value, self.reach.to("mm").value
        if min(lever, reach) <= 0:
            raise QuantityError(_("Lengths of wrench and extension are above nothing"))
        if self.degrees % 180 == 90:
            return Fraction(1)
        turned = Fraction(round(PARTS * math.cos(math.radians(self.degrees))), PARTS)
        ratio = 1 + turned * reach / lever
        if ratio <= 0:
            raise QuantityError(_("The extension points back beyond the hand"))
        return ratio

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data."""
        return {
            "code": self.code,
            "reach": quantity_json(self.reach),
            "lever": quantity_json(self.lever),
            "degrees": self.degrees,
        }


def setting_of(figure: Quantity, *, ratio: Fraction, prevailing: Quantity | None) -> Quantity:
    """What to set so that a figure arrives: (figure + prevailing) / ratio, in the figure's unit.

    Args:
        figure: a torque.
        ratio: of the extension, 1 without.
        prevailing: what the nut takes before it seats; None for nothing.
    Returns: a torque.
    Raises:
        QuantityError: the prevailing torque is another quantity.

    Valid for figures given without the prevailing torque. Source: TM1-1500 (paragraph 4); HOUSE (lever rule)
    """
    added = prevailing.to(figure.unit).value if prevailing is not None else Fraction(0)
    return Quantity((figure.value + added) / ratio, figure.unit)


def arrives(setting: Quantity, *, ratio: Fraction, prevailing: Quantity | None) -> Quantity:
    """What of a setting tightens the joint. Inverse of `setting_of`; the same range and errors.

    Args:
        setting: of the wrench.
        ratio: of the extension, 1 without.
        prevailing: what the nut takes before it seats; None for nothing.

    Valid as `setting_of` is. Source: TM1-1500 (paragraph 4); HOUSE (lever rule)
    """
    taken = prevailing.to(setting.unit).value if prevailing is not None else Fraction(0)
    return Quantity(setting.value * ratio - taken, setting.unit)


def decide_joint(
    limits: Limits,
    instrument: InstrumentData,
    setting: Quantity,
    rule: Rule,
    *,
    ratio: Fraction = Fraction(1),
    prevailing: Quantity | None = None,
) -> Decision:
    """Judge what arrived at a joint.

    Args:
        limits: of the figure; instrument: the wrench; setting: what it was set to; rule: how it is decided.
        ratio: of the extension, 1 without.
        prevailing: what the nut takes before it seats; None for nothing.
    Returns: the decision on what arrived; without extension and prevailing torque that of `decide`.
    Raises:
        DecisionError: the wrench cannot have given this setting.
        QuantityError: the prevailing torque is another quantity, or more than what was set.

    The wrench's uncertainty grows with the lever, and a prevailing torque brings its own.
    Valid as `decide` is. Source: ISO14253-1; GUM 5.1.2; TM1-1500
    """
    require_readable(instrument, setting)
    arrived = arrives(setting, ratio=ratio, prevailing=prevailing)
    if arrived.value <= 0:
        raise QuantityError(_("The nut takes more than was set before it seats: nothing is tightened"))
    at_most = setting_of(limits.largest, ratio=ratio, prevailing=prevailing)
    variance = ratio**2 * reading_variance(instrument, at_most.quanta)
    if prevailing is not None:
        variance += reading_variance(instrument, prevailing.quanta)
    found = thresholds_for(limits, variance, rule, instrument=instrument)
    return Decision(found.judge(arrived.canonical), arrived, limits, found, rule, instrument)

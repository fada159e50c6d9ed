"""How far a hole must stay from an edge."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.quantities.figures import mixed_text
from shop.engineering.words import Words
from shop.engineering.words import say as _

# Bolt: edge as rolled, cut or drilled; and what older editions asked at a sheared edge. Inches.
_INCH: Final = {
    "1/2": ("3/4", "7/8"), "5/8": ("7/8", "1 1/8"), "3/4": ("1", "1 1/4"), "7/8": ("1 1/8", "1 1/2"),
    "1": ("1 1/4", "1 3/4"), "1 1/8": ("1 1/2", "2"), "1 1/4": ("1 5/8", "2 1/4"),
}  # fmt: skip
# The same in millimetres.
_METRIC: Final = {
    "16": ("22", "28"), "20": ("26", "34"), "22": ("28", "38"), "24": ("30", "42"), "27": ("34", "48"),
    "30": ("38", "52"), "36": ("46", "64"),
}  # fmt: skip
ABOVE_TABLE: Final = (Fraction(5, 4), Fraction(7, 4))
THUMB: Final = (Fraction(3, 2), Fraction(2))


@dataclass(frozen=True)
class EdgeRule:
    """What is asked between the centre of a hole and an edge.

    Attributes:
        least: in the unit of the bolt's diameter.
        source: where it comes from, and for what it was made.
    """

    least: Fraction
    source: Words

    def holds(self, distance: Fraction) -> bool:
        return distance >= self.least


def least_edge_distance(bolt: Fraction, *, metric: bool = False, sheared: bool = False) -> EdgeRule:
    """The least distance from the centre of a standard hole to an edge in structural steel.

    Args:
        metric: the diameter is in millimetres.
        bolt: nominal diameter, inches, or millimetres where `metric`.
        sheared: the edge was sheared; older editions asked for more there, and it is the safer figure.
    Returns: the rule; for bolts that the table lacks, the thumb rule of twice the diameter.
    Raises:
        QuantityError: the diameter is not above nothing.

    Valid for structural joints, which a sheet bracket is not.
    Source: AISC360 (table J3.4, sheared edges from the 2005 edition)
    """
    if bolt <= 0:
        raise QuantityError(_("A diameter is above nothing"))
    table, largest = (_METRIC, 36) if metric else (_INCH, Fraction(5, 4))
    found = table.get(str(bolt) if metric else mixed_text(bolt))
    if found is not None:
        return EdgeRule(_value(found[sheared]), _("AISC 360 table J3.4, for structural joints"))
    if bolt > largest:
        return EdgeRule(ABOVE_TABLE[sheared] * bolt, _("AISC 360 table J3.4, above its largest bolt"))
    return EdgeRule(THUMB[1] * bolt, _("twice the diameter, common practice, no source"))


def thumb_rule(diameter: Fraction) -> tuple[Fraction, Fraction]:
    """One and a half and two diameters from centre to edge.

    Args:
        diameter: of the hole's bolt, any unit.
    Returns: the least that practice takes, and what it aims at; the same unit.
    Raises:
        QuantityError: the diameter is not above nothing.

    Valid as a first look. Source: HOUSE (common practice, no source)
    """
    if diameter <= 0:
        raise QuantityError(_("A diameter is above nothing"))
    return THUMB[0] * diameter, THUMB[1] * diameter


def _value(text: str) -> Fraction:
    whole, _blank, part = text.rpartition(" ")
    return Fraction(whole or 0) + Fraction(part)

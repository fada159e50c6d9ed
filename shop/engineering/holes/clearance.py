"""Holes for bolts and taps: clearance holes, tap drills, percent of thread."""

from enum import StrEnum
from fractions import Fraction
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.holes.drills import INCH, METRIC, MM, Drill, find_drill, nearest
from shop.engineering.quantities.figures import mixed_text
from shop.engineering.words import say as _


class Fit(StrEnum):
    """How freely a bolt goes through; ISO 273 calls the three fine, medium and coarse."""

    CLOSE = "close"
    NORMAL = "normal"
    LOOSE = "loose"


# Bolt: drill for close, normal, loose.
_INCH: Final = {
    "#6": ("#23", "#18", "#13"),
    "#8": ("#15", "#9", "#3"),
    "#10": ("#5", "#2", "B"),
    "1/4": ("17/64", "9/32", "19/64"),
    "5/16": ("21/64", "11/32", "23/64"),
    "3/8": ("25/64", "13/32", "27/64"),
    "7/16": ("29/64", "15/32", "31/64"),
    "1/2": ("17/32", "9/16", "39/64"),
    "5/8": ("21/32", "11/16", "47/64"),
    "3/4": ("25/32", "13/16", "29/32"),
    "7/8": ("29/32", "15/16", "1 1/32"),
    "1": ("1 1/32", "1 3/32", "1 5/32"),
    "1 1/8": ("1 5/32", "1 7/32", "1 5/16"),
    "1 1/4": ("1 9/32", "1 11/32", "1 7/16"),
    "1 3/8": ("1 7/16", "1 1/2", "1 39/64"),
    "1 1/2": ("1 9/16", "1 5/8", "1 47/64"),
}
_NUMBERED: Final = {Fraction("0.138"): "#6", Fraction("0.164"): "#8", Fraction("0.190"): "#10"}
# Diameter of the bolt in mm: hole for fine, medium, coarse.
_METRIC: Final = {
    "1.6": ("1.7", "1.8", "2"), "2": ("2.2", "2.4", "2.6"), "2.5": ("2.7", "2.9", "3.1"),
    "3": ("3.2", "3.4", "3.6"), "3.5": ("3.7", "3.9", "4.2"),
    "4": ("4.3", "4.5", "4.8"), "5": ("5.3", "5.5", "5.8"),
    "6": ("6.4", "6.6", "7"), "8": ("8.4", "9", "10"), "10": ("10.5", "11", "12"),
    "12": ("13", "13.5", "14.5"), "14": ("15", "15.5", "16.5"), "16": ("17", "17.5", "18.5"),
    "18": ("19", "20", "21"), "20": ("21", "22", "24"), "22": ("23", "24", "26"),
    "24": ("25", "26", "28"), "27": ("28", "30", "32"), "30": ("31", "33", "35"),
    "33": ("34", "36", "38"), "36": ("37", "39", "42"), "39": ("40", "42", "45"),
}  # fmt: skip
# The older British table, which some drawings and catalogues still follow: close, medium, free.
_BS_4186: Final = {"12": ("13", "14", "15"), "14": ("15", "16", "17"), "16": ("17", "18", "19")}
# Up to a hole of so many inches: thousandths that it may be larger, for close, normal, loose.
_TOLERANCES: Final = (
    ("0.24", 5, 7, 12),
    ("0.40", 6, 9, 14),
    ("0.71", 7, 10, 16),
    ("1.19", 8, 12, 20),
    ("1.97", 10, 16, 25),
)
FULL_THREAD: Final = 1.299038
WANTED_PERCENT: Final = 75.0
_FITS: Final = tuple(Fit)


def clearance_drill(bolt_in: Fraction, fit: Fit = Fit.NORMAL) -> Drill:
    """The drill for a clearance hole of an inch bolt.

    Args:
        bolt_in: nominal diameter, inches.
        fit: close, normal or loose.
    Returns: the drill.
    Raises:
        QuantityError: the table has no bolt of that size.

    Valid for #6 to 1 1/2 in without 9/16. Source: B18.2.8 (numbered and above 1 in from
    a reprint)
    """
    name = _NUMBERED.get(bolt_in) or (mixed_text(bolt_in) if bolt_in > 0 else "")
    found = _INCH.get(name)
    if found is None:
        sizes = ", ".join(_INCH)
        raise QuantityError(_("No inch bolt of that size is in the table; it has %(sizes)s in", sizes=sizes))
    return find_drill(found[_FITS.index(fit)])


def clearance_limits_in(bolt_in: Fraction, fit: Fit) -> tuple[Fraction, Fraction]:
    """The smallest and largest diameter that a clearance hole of an inch bolt may have.

    Args:
        bolt_in: nominal diameter, inches.
        fit: close (H12), normal (H13) or loose (H14).
    Returns: both limits, inches.
    Raises:
        QuantityError: the table has no bolt of that size.

    Valid for #6 to 1 1/2 in. Source: B18.2.8; HOUSE (widths beside H14 of 3/8 to 5/8 in bolts from memory)
    """
    low = clearance_drill(bolt_in, fit).diameter_in
    for up_to, *widths in _TOLERANCES:
        if low <= Fraction(up_to):
            return low, low + Fraction(widths[_FITS.index(fit)], 1000)
    raise QuantityError(_("The table ends at holes of 1.97 in"))


def clearance_hole_mm(bolt_mm: Fraction, fit: Fit = Fit.NORMAL) -> Fraction:
    """The clearance hole of a metric bolt.

    Args:
        bolt_mm: nominal diameter, millimetres.
        fit: close is the series fine, normal medium, loose coarse.
    Returns: millimetres.
    Raises:
        QuantityError: the table has no bolt of that size.

    Valid for M1.6 to M39. Source: ISO273
    """
    return _metric_hole(_METRIC, bolt_mm, fit)


def old_clearance_hole_mm(bolt_mm: Fraction, fit: Fit) -> Fraction:
    """The clearance hole of the older British table, so that a drawing to it is understood.

    Args:
        bolt_mm: nominal diameter, millimetres.
        fit: close, medium (normal), free (loose).
    Returns: millimetres.
    Raises:
        QuantityError: it differs from ISO 273 for M12, M14 and M16 alone; others are not kept.

    Valid for M12 to M16. Source: BS4186
    """
    return _metric_hole(_BS_4186, bolt_mm, fit)


def _metric_hole(table: dict[str, tuple[str, str, str]], bolt_mm: Fraction, fit: Fit) -> Fraction:
    found = next((holes for size, holes in table.items() if Fraction(size) == bolt_mm), None)
    if found is None:
        sizes = ", ".join(f"M{size}" for size in table)
        raise QuantityError(_("No metric bolt of that size is in the table; it has %(sizes)s", sizes=sizes))
    return Fraction(found[_FITS.index(fit)])


def percent_thread(major_in: Fraction, per_inch: Fraction, drill_in: Fraction) -> float:
    """How much of a full thread a tap cuts in a hole of a size.

    Args:
        major_in: outside diameter of the thread, inches.
        per_inch: threads per inch.
        drill_in: diameter of the hole, inches.
    Returns: percent of a full thread.
    Raises:
        QuantityError: the hole is as large as the thread, or a size is not above nothing.

    Valid for 60° threads. Source: MHB (thread height 0.75 H)
    """
    if min(major_in, per_inch, drill_in) <= 0:
        raise QuantityError(_("Diameter and threads per inch are above nothing"))
    if drill_in >= major_in:
        raise QuantityError(_("The hole is as large as the thread; a tap finds nothing to cut"))
    return 100 * float((major_in - drill_in) * per_inch) / FULL_THREAD


def tap_drill(major_in: Fraction, per_inch: Fraction, drills: tuple[Drill, ...] = INCH) -> Drill:
    """The stock drill that leaves about 75 % of a full inch thread; the larger of two as near.

    Args:
        major_in: outside diameter of the thread, inches.
        per_inch: threads per inch.
        drills: those the shop has.
    Returns: the drill.
    Raises:
        QuantityError: a size is not above nothing.

    Valid for 60° threads. Source: MHB; HOUSE (which drill is taken for 75 % is shop practice)
    """
    if min(major_in, per_inch) <= 0:
        raise QuantityError(_("Diameter and threads per inch are above nothing"))
    smaller = [drill for drill in drills if drill.diameter_in < major_in]
    if not smaller:
        raise QuantityError(_("No drill at hand is smaller than the thread"))
    return min(
        smaller,
        key=lambda drill: (
            abs(percent_thread(major_in, per_inch, drill.diameter_in) - WANTED_PERCENT),
            -drill.diameter_in,
        ),
    )


def tap_drill_mm(major_mm: Fraction, pitch_mm: Fraction, drills: tuple[Drill, ...] = METRIC) -> Drill:
    """The stock drill for a metric tap: diameter less pitch.

    Args:
        major_mm: outside diameter of the thread, millimetres.
        pitch_mm: millimetres.
        drills: those the shop has.
    Returns: the drill.
    Raises:
        QuantityError: the pitch does not belong to that diameter.

    Valid for pitches below half of the diameter. Source: ISO2306 (as reprinted in tap charts)
    """
    if not 0 < pitch_mm < major_mm / 2:
        raise QuantityError(_("A pitch is above nothing and below half of the diameter"))
    return nearest((major_mm - pitch_mm) * MM, drills)

"""Screw threads by their designation: Unified (inch) and ISO metric."""

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.quantities.figures import read_number
from shop.engineering.words import say as _

INCH_MM: Final = Fraction(254, 10)
# What the height of the thread takes off the diameter that carries, in pitches. The two are not the same.
UNIFIED_HEIGHT: Final = 0.9743
ISO_HEIGHT: Final = 0.938194

# The usual threads: threads an inch (coarse, fine) and pitch in mm (coarse, then fine ones).
UNIFIED: Final = {
    "1/4": (20, 28), "5/16": (18, 24), "3/8": (16, 24), "7/16": (14, 20), "1/2": (13, 20), "9/16": (12, 18),
    "5/8": (11, 18), "3/4": (10, 16), "7/8": (9, 14), "1": (8, 12), "1 1/8": (7, 12), "1 1/4": (7, 12),
    "1 3/8": (6, 12), "1 1/2": (6, 12),
}  # fmt: skip
ISO: Final = {
    "3": ("0.5",), "4": ("0.7",), "5": ("0.8",), "6": ("1",), "8": ("1.25", "1"), "10": ("1.5", "1.25", "1"),
    "12": ("1.75", "1.5", "1.25"), "14": ("2", "1.5"), "16": ("2", "1.5"), "18": ("2.5", "2", "1.5"),
    "20": ("2.5", "2", "1.5"), "22": ("2.5", "1.5"), "24": ("3", "2"), "27": ("3", "2"), "30": ("3.5", "2"),
}  # fmt: skip
# Other threads an inch that are cut, from which diameter on: constant-pitch, extra-fine and special ones.
_ALSO_PER_INCH: Final = {
    6: Fraction(11, 8), 8: Fraction(1), 10: Fraction(7, 8), 12: Fraction(1, 2), 14: Fraction(1, 2),
    16: Fraction(3, 8), 18: Fraction(3, 8), **dict.fromkeys((20, 24, 27, 28, 32), Fraction(1, 4)),
}  # fmt: skip
_PITCHES: Final = frozenset(
    Fraction(hundredths, 100)
    for hundredths in (
        *(20, 25, 30, 35, 40, 45, 50, 60, 70, 75, 80, 100, 125, 150, 175, 200, 250, 300, 350, 400, 450, 500),
        *(550, 600, 800),
    )
)
_NUMBERED: Final = {"0": "0.060", "2": "0.086", "4": "0.112", "6": "0.138", "8": "0.164", "10": "0.190"}
_UNIFIED_TEXT: Final = re.compile(
    r"(?P<size>#?\d+(?:[ -]\d+/\d+)?|\d+/\d+)-(?P<per_inch>\d+)(?: ?UN(?:C|F|EF|JF|J)?(?:-?[123][AB])?)?",
    re.I,
)
_ISO_TEXT: Final = re.compile(r"M(?P<size>\d+(?:\.\d+)?)(?: ?[x×] ?(?P<pitch>\d+(?:\.\d+)?))?", re.I)


@dataclass(frozen=True)
class Thread:
    """A screw thread of 60°.

    Attributes:
        name: as it is written on drawings: `3/8-16`, `M12x1.75`.
        major_mm: nominal diameter, millimetres.
        pitch_mm: from crest to crest, millimetres.
        is_inch: Unified rather than ISO metric.
    """

    name: str
    major_mm: Fraction
    pitch_mm: Fraction
    is_inch: bool

    @property
    def major_in(self) -> Fraction:
        return self.major_mm / INCH_MM

    @property
    def per_inch(self) -> Fraction:
        return INCH_MM / self.pitch_mm

    @property
    def stress_area_mm2(self) -> float:
        """What carries tension: π/4 (d - c P)², mm². Source: ASME B1.1 (c = 0.9743), ISO 898-1 (0.938194)"""
        height = UNIFIED_HEIGHT if self.is_inch else ISO_HEIGHT
        return math.pi / 4 * (float(self.major_mm) - height * float(self.pitch_mm)) ** 2

    @property
    def stress_area_in2(self) -> float:
        return self.stress_area_mm2 / float(INCH_MM) ** 2

    def advance_mm(self, degrees: float) -> float:
        """How far a nut goes along the bolt when it is turned, millimetres. Geometry."""
        return float(self.pitch_mm) * degrees / 360

    def __str__(self) -> str:
        return self.name


def parse_thread(text: str) -> Thread:
    """A thread as people write it.

    Args:
        text: `3/8-16`, `1/2-20 UNF`, `#10-32`, `M12x1.75`; `M12` alone is the coarse pitch.
    Returns: the thread.
    Raises:
        QuantityError: no thread, or the pitch does not belong to the diameter; with what could be meant.

    Valid for #0 to 1 1/2 in and M1 to M100. Source: B1.1; ISO724; HOUSE (which special pitches are cut: from
    memory of B1.1 and ISO 261)
    """
    written = " ".join(text.strip().replace('"', "").split())
    unified, iso = _UNIFIED_TEXT.fullmatch(written), _ISO_TEXT.fullmatch(written)
    if unified:
        return _unified(unified["size"], int(unified["per_inch"]))
    if iso:
        return _iso(iso["size"], iso["pitch"])
    raise QuantityError(_("%(text)s is no thread. Write it like 3/8-16 or M12x1.75", text=text.strip()[:40]))


def _unified(size: str, per_inch: int) -> Thread:
    number = size.removeprefix("#")
    is_numbered = size.startswith("#") or (number in _NUMBERED and per_inch > 20)
    if is_numbered and number not in _NUMBERED:
        raise QuantityError(_("There is no number %(number)s screw in the tables", number=number))
    major = Fraction(_NUMBERED[number]) if is_numbered else read_number(number.replace("-", " "))
    name = f"#{number}-{per_inch}" if is_numbered else f"{number.replace('-', ' ')}-{per_inch}"
    usual = UNIFIED.get(number.replace("-", " "), ())
    if not is_numbered and per_inch not in usual and major < _ALSO_PER_INCH.get(per_inch, major + 1):
        raise QuantityError(
            _("No bolt has the thread %(name)s", name=name), tuple(f"{number}-{count}" for count in usual)
        )
    if not 0 < major <= Fraction(3, 2) or not 4 <= per_inch <= 80 or UNIFIED_HEIGHT / per_inch >= major / 2:
        raise QuantityError(
            _("No bolt has the thread %(name)s", name=name), tuple(f"{number}-{count}" for count in usual)
        )
    return Thread(name, major * INCH_MM, INCH_MM / per_inch, is_inch=True)


def _iso(size: str, pitch: str | None) -> Thread:
    usual = ISO.get(size, ())
    if pitch is None and not usual:
        raise QuantityError(
            _("Say the pitch too: M%(size)s is not in the table of coarse threads", size=size)
        )
    chosen = Fraction(pitch or usual[0])
    major = Fraction(size)
    if not 1 <= major <= 100 or not 0 < chosen < major / 2 or chosen not in _PITCHES:
        raise QuantityError(
            _("No bolt has the thread M%(size)s with a pitch of %(pitch)s mm", size=size, pitch=pitch or ""),
            tuple(f"M{size}x{each}" for each in usual),
        )
    return Thread(f"M{size}x{pitch or usual[0]}", major, chosen, is_inch=False)


def require_same_system(bolt: Thread, nut: Thread) -> None:
    """Refuse a nut that does not belong on a bolt.

    Args:
        bolt: its thread.
        nut: its thread.

    Raises:
        QuantityError: metric on inch, another diameter, or another pitch: it would cross or strip.

    Valid for any two threads. Source: HOUSE (a nut takes the thread it was cut for)
    """
    if (bolt.is_inch, bolt.major_mm, bolt.pitch_mm) != (nut.is_inch, nut.major_mm, nut.pitch_mm):
        kinds = _("one is inch, the other metric") if bolt.is_inch != nut.is_inch else _("their sizes differ")
        raise QuantityError(
            _("A nut %(nut)s does not belong on a bolt %(bolt)s: %(kinds)s", nut=nut, bolt=bolt, kinds=kinds)
        )

"""Where the parts of the bench's drawings lie: plain figures, in the drawing's own units, y down.

What cannot be drawn (a size that is not above nothing, ends the wrong way round) is None, never an error: the
figures beside the drawing say all that it does.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import isfinite

WIDTH, LEFT, RIGHT = 800.0, 40.0, 760.0
PAST_LIMITS = Fraction(35, 100)  # of the zone, shown beyond either end of it
LEAST_TOP, MOST_TOP = 125, 400  # percent of proof load at the right end of the scale
CIRCLES_RIGHT, CIRCLES_HEIGHT = 400.0, 360.0
EDGE_RIGHT, HOLE_HEIGHT = 500.0, 240.0


@dataclass(frozen=True)
class Scale:
    """From a value to a place between LEFT and RIGHT; what lies beyond stays at the end. Exact until then."""

    low: Fraction
    high: Fraction

    def at(self, value: Fraction | int) -> float:
        held = min(max(Fraction(value), self.low), self.high)
        return LEFT + (RIGHT - LEFT) * float((held - self.low) / (self.high - self.low))

    def beyond(self, value: Fraction | int) -> int:
        """-1 where the value lies left of the scale, 1 right of it, else 0."""
        return (value > self.high) - (value < self.low)


@dataclass(frozen=True)
class Cell:
    """A stretch of the zone: `conforms`, `close` or `rejects`."""

    kind: str
    start: float
    end: float


@dataclass(frozen=True)
class Zone:
    """The tolerance zone with its guard bands, and the reading over it.

    Attributes:
        cells: from the left to the right end without a gap.
        limits: where the limits are, one or two.
        reading, off_low, off_high: the reading, and how far it may be off to either side.
        beyond: -1 or 1 where the reading lies outside of the picture on that side.
    """

    cells: tuple[Cell, ...]
    limits: tuple[float, ...]
    reading: float
    off_low: float
    off_high: float
    beyond: int


Ends = tuple[int | None, int | None]


def lay_zone(limits: Ends, accept: Ends | None, reject: Ends, reading: int, expanded: int) -> Zone | None:
    """Lay out the zone.

    Args:
        limits, accept, reject: lower and upper end each, None for no end; any one unit. `accept` is None
            where no reading can prove the limits.
        reading, expanded: the reading and its expanded uncertainty, in the same unit.
    Returns: the zone; None without a limit, or with ends the wrong way round.

    Valid for whole numbers of any size. Source: ISO14253-1 (conformance, nonconformance, uncertainty)
    """
    if limits == (None, None) or expanded < 0:
        return None
    scale = _scale_of_zone(reject, reading, expanded)
    low, high = (None if end is None else scale.at(end) for end in reject)
    stops, kinds = [LEFT if low is None else low], ["rejects", "close"]
    if accept is not None:
        stops += [LEFT if accept[0] is None else scale.at(accept[0])]
        stops += [RIGHT if accept[1] is None else scale.at(accept[1])]
        kinds += ["conforms", "close"]
    stops = [LEFT, *stops, RIGHT if high is None else high, RIGHT]
    if stops != sorted(stops):
        return None
    cells = zip([*kinds, "rejects"], stops, stops[1:], strict=False)
    return Zone(
        tuple(Cell(kind, start, end) for kind, start, end in cells if end > start),
        tuple(scale.at(end) for end in limits if end is not None),
        scale.at(reading),
        scale.at(reading - expanded),
        scale.at(reading + expanded),
        scale.beyond(reading),
    )


def _scale_of_zone(reject: Ends, reading: int, expanded: int) -> Scale:
    """Both ends with some room; about one end as far as the reading, within reason."""
    low, high = reject
    if low is not None and high is not None:
        room = max(high - low, 1) * PAST_LIMITS
        return Scale(low - room, high + room)
    end = low if low is not None else high
    assert end is not None
    wanted = abs(reading - end) * Fraction(13, 10)
    room = min(max(wanted, Fraction(4 * expanded)), Fraction(16 * expanded)) if expanded else wanted
    return Scale(end - max(room, Fraction(1)), end + max(room, Fraction(1)))


@dataclass(frozen=True)
class Load:
    """A range of clamp load on a scale of the proof load.

    Attributes:
        start, end: the range; `is_open` where it goes on beyond the scale.
        full, yields: where 100 % and the yield load are; None for a yield load beyond the scale.
        ticks: percent and place.
    """

    start: float
    end: float
    is_open: bool
    full: float
    yields: float | None
    ticks: tuple[tuple[int, float], ...]


def lay_load(low: float, high: float, yields: float) -> Load | None:
    """Lay out a clamp load.

    Args:
        low, high, yields: percent of the proof load, above 0.
    Returns: the bar; None for what is no range above nothing.

    Valid for every range. Source: HOUSE (the scale grows with the range, up to four times the proof load)
    """
    if not (0 < low <= high and isfinite(high) and isfinite(yields)):
        return None
    top = min(max(Fraction(LEAST_TOP), Fraction(high) * Fraction(11, 10)), Fraction(MOST_TOP))
    scale, step = Scale(Fraction(0), top), 25 if top <= 150 else 100
    marks = range(0, int(top) + 1, step)
    is_shown = 0 < yields < top
    return Load(
        scale.at(Fraction(low)),
        scale.at(Fraction(high)),
        high > top,
        scale.at(100),
        scale.at(Fraction(yields)) if is_shown else None,
        tuple((percent, scale.at(percent)) for percent in marks),
    )


@dataclass(frozen=True)
class Circle:
    """A circle of the drawing."""

    x: float
    y: float
    r: float

    def holds(self, other: "Circle") -> bool:
        """Whether the other lies within it, to a thousandth of the drawing."""
        return abs(other.x - self.x) + other.r <= self.r + 1e-3


@dataclass(frozen=True)
class Passing:
    """A pin in its holes, seen along it: all to one scale."""

    hole: Circle
    other: Circle | None
    pin: Circle


def lay_passing(pin: Fraction, hole: Fraction, other: Fraction | None, offset: Fraction) -> Passing | None:
    """Lay out a pin in one hole (`other` is None: the pin is held, off the hole's centre) or in two.

    Args:
        pin, hole, other: diameters; offset: between the centres; any one unit.
    Returns: the circles; a free pin stands in the middle of what both holes leave. None for no size.

    Valid for round holes. Source: Y14.5 (fixed and floating fastener)
    """
    sizes = [pin, hole, *([] if other is None else [other])]
    if min(sizes) <= 0:
        return None
    apart, radii = abs(offset), [size / 2 for size in sizes]
    if other is None:
        centre = apart
    else:
        centre = (max(-radii[1], apart - radii[2]) + min(radii[1], apart + radii[2])) / 2
    placed = list(zip((centre, Fraction(0), apart), radii, strict=False))
    left, right = min(x - r for x, r in placed), max(x + r for x, r in placed)
    unit = min(Fraction(CIRCLES_RIGHT - LEFT) / (right - left), Fraction(CIRCLES_HEIGHT - 40) / max(sizes))
    begin = Fraction(LEFT) + (Fraction(CIRCLES_RIGHT - LEFT) - unit * (right - left)) / 2
    drawn = [Circle(float(begin + unit * (x - left)), CIRCLES_HEIGHT / 2, float(unit * r)) for x, r in placed]
    return Passing(drawn[1], drawn[2] if other is not None else None, drawn[0])


@dataclass(frozen=True)
class Edge:
    """A hole at an edge.

    Attributes:
        edge: where the edge is; the metal is to the right.
        least: where the least distance ends; given: the same for the distance given, None without one.
    """

    hole: Circle
    edge: float
    least: float
    given: float | None


def lay_edge(size: Fraction, least: Fraction, given: Fraction | None) -> Edge | None:
    """Lay out a hole at an edge, at the distance given, or at the least one.

    Args:
        size: the hole's diameter; least, given: from its centre to the edge; any one unit.
    Returns: all to one scale, a hole that breaks through the edge too. None for no size or distance.

    Valid for a straight edge. Source: HOUSE (to scale)
    """
    at, radius = least if given is None else given, size / 2
    if min(size, least, at) <= 0:
        return None
    left, right = min(Fraction(0), at - radius), max(least, at + radius)
    unit = min(Fraction(EDGE_RIGHT - LEFT) / (right - left), Fraction(HOLE_HEIGHT - 40) / size)
    edge = Fraction(LEFT) - unit * left
    return Edge(
        Circle(float(edge + unit * at), HOLE_HEIGHT / 2, float(unit * radius)),
        float(edge),
        float(edge + unit * least),
        None if given is None else float(edge + unit * given),
    )

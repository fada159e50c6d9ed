"""Layout in the plane: datums, marks, what a tape reads between them, where a mark is by its readings.

Plain numbers in one unit of length, that of the tape. A mark has two freedoms: a hole's centre moves along
both axes of its view, a line moves square to itself at either end.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from shop.engineering.errors import QuantityError
from shop.engineering.words import say as _

Point = tuple[float, float]
Pair = tuple[float, float]

# What counts as none: a thousandth of the finest division.
NOTHING = 1e-6
MOST_STEPS = 12


class LayoutError(QuantityError):
    """A layout that cannot be made on metal."""


@dataclass(frozen=True)
class Datum:
    """A point, or an edge through two points, on metal that stays."""

    code: str
    at: Point
    to: Point | None = None

    @cached_property
    def is_edge(self) -> bool:
        return self.to is not None

    @cached_property
    def normal(self) -> Pair:
        """The unit normal of an edge, to the left of its direction."""
        assert self.to is not None
        dx, dy = self.to[0] - self.at[0], self.to[1] - self.at[1]
        length = math.hypot(dx, dy)
        return (-dy / length, dx / length)

    def offset(self, point: Point) -> float:
        """The signed distance of a point from an edge."""
        return (point[0] - self.at[0]) * self.normal[0] + (point[1] - self.at[1]) * self.normal[1]

    def distance(self, point: Point) -> float:
        """What a tape reads from the datum to a point; from an edge, square to it."""
        if self.is_edge:
            return abs(self.offset(point))
        return math.hypot(point[0] - self.at[0], point[1] - self.at[1])

    def slope(self, point: Point) -> Pair:
        """The direction in which the distance grows fastest, of length 1; none on the datum itself."""
        if self.is_edge:
            sign = 1.0 if self.offset(point) >= 0 else -1.0
            return (sign * self.normal[0], sign * self.normal[1])
        length = self.distance(point)
        if length < NOTHING:
            return (0.0, 0.0)
        return ((point[0] - self.at[0]) / length, (point[1] - self.at[1]) / length)


@dataclass(frozen=True)
class Span:
    """One reading of a tape: from a datum to an end of the mark; a hole has one end, its centre."""

    datum: Datum
    end: int = 0


@dataclass(frozen=True)
class Step:
    """One dimension by which a mark is laid out: from a datum to one end, or to both ends of a line."""

    datum: Datum
    ends: tuple[int, ...] = (0,)

    @cached_property
    def spans(self) -> tuple[Span, ...]:
        return tuple(Span(self.datum, end) for end in self.ends)


@dataclass(frozen=True)
class Mark:
    """A hole's centre (one end) or a line (two ends), with the steps that lay it out, each in `tolerance`.

    radius: of the hole; 0 for lines.
    """

    code: str
    ends: tuple[Point, ...]
    steps: tuple[Step, ...]
    tolerance: float
    radius: float = 0.0

    @cached_property
    def is_line(self) -> bool:
        return len(self.ends) > 1

    @cached_property
    def normal(self) -> Pair:
        """The unit normal of a line, towards growing x, or y where it runs along x."""
        (x, y), (to_x, to_y) = self.ends
        length = math.hypot(to_x - x, to_y - y)
        across = ((to_y - y) / length, -(to_x - x) / length)
        first = across[0] if abs(across[0]) > NOTHING else across[1]
        return across if first > 0 else (-across[0], -across[1])

    @cached_property
    def laid_out(self) -> tuple[Span, ...]:
        """The readings from the datums that it is laid out from."""
        return tuple(span for step in self.steps for span in step.spans)

    def point(self, end: int, moved: Pair = (0.0, 0.0)) -> Point:
        """Where an end stands when the mark is off by `moved`."""
        x, y = self.ends[end]
        if self.is_line:
            return (x + moved[end] * self.normal[0], y + moved[end] * self.normal[1])
        return (x + moved[0], y + moved[1])

    def reads(self, span: Span, moved: Pair = (0.0, 0.0)) -> float:
        """What a tape reads when the mark is off by `moved`."""
        return span.datum.distance(self.point(span.end, moved))

    def row(self, span: Span, moved: Pair = (0.0, 0.0)) -> Pair:
        """How a reading grows with either freedom: one row of the Jacobian."""
        slope = span.datum.slope(self.point(span.end, moved))
        if not self.is_line:
            return slope
        along = slope[0] * self.normal[0] + slope[1] * self.normal[1]
        return (along, 0.0) if span.end == 0 else (0.0, along)

    def fault(self) -> str:
        """What keeps its steps from placing it: "" where they do."""
        if len(self.laid_out) < 2:
            return "few"
        a, b, c = information([(self.row(s), 1.0) for s in self.laid_out])
        return "parallel" if spread(a, b, c) > 1 / NEARLY_PARALLEL else ""


# Below this sine of the angle between them two readings are as good as parallel: 10 degrees.
NEARLY_PARALLEL = math.sin(math.radians(10))


def information(weighted: Sequence[tuple[Pair, float]]) -> tuple[float, float, float]:
    """The normal matrix of some readings of a mark.

    Args:
        weighted: for each reading its row of the Jacobian and its standard uncertainty.
    Returns: a, b, c of the symmetric matrix [[a, b], [b, c]], one over the unit squared.

    Valid for readings with independent errors. Source: GUM 5.1.2; GUM H.3 (least squares)
    """
    a = b = c = 0.0
    for (x, y), u in weighted:
        weight = 1 / (u * u)
        a, b, c = a + weight * x * x, b + weight * x * y, c + weight * y * y
    return a, b, c


def spread(a: float, b: float, c: float) -> float:
    """The standard deviation in the direction that readings pin worst.

    Args:
        a: first diagonal element of the normal matrix.
        b: its element off the diagonal.
        c: its second diagonal element.
    Returns: one over the root of its smaller eigenvalue; infinite where they do not pin it.

    Valid for every normal matrix. Source: GUM 5.1.2; HOUSE (the worst direction counts)
    """
    least = (a + c) / 2 - math.hypot((a - c) / 2, b)
    return 1 / math.sqrt(least) if least > 1e-12 * max(a + c, 1e-300) else math.inf


def solve(a: float, b: float, c: float, right: Pair) -> Pair:
    """The solution of a symmetric system of two equations.

    Args:
        a: first diagonal element.
        b: the element off the diagonal.
        c: second diagonal element.
        right: the right-hand side.
    Returns: both unknowns.
    Raises:
        LayoutError: where the system does not determine them.

    Valid for every regular system. Source: GUM H.3 (least squares)
    """
    determinant = a * c - b * b
    if abs(determinant) <= 1e-12 * max(a * c, 1e-300):
        raise LayoutError(_("These readings do not pin the mark: they are parallel"))
    return ((c * right[0] - b * right[1]) / determinant, (a * right[1] - b * right[0]) / determinant)


def fitted(
    mark: Mark, spans: Sequence[Span], values: Sequence[float], *, start: Pair = (0.0, 0.0)
) -> Pair | None:
    """How far a mark is off by some readings of it, by least squares.

    Args:
        mark: the mark as drawn.
        spans: what was read.
        values: what the tape showed, in its unit.
        start: where the search begins.
    Returns: how far it is off along either freedom; None where no place comes near the readings, as circles
        that do not meet.

    Valid for two readings or more that are not parallel. Source: GUM H.3 (least squares)
    """
    moved, step = start, math.inf
    for _n in range(MOST_STEPS):
        rows = [mark.row(s, moved) for s in spans]
        left = [v - mark.reads(s, moved) for s, v in zip(spans, values, strict=True)]
        a, b, c = information([(row, 1.0) for row in rows])
        right = (
            sum(r[0] * d for r, d in zip(rows, left, strict=True)),
            sum(r[1] * d for r, d in zip(rows, left, strict=True)),
        )
        try:
            dx, dy = solve(a, b, c, right)
        except LayoutError:
            return None
        moved, step = (moved[0] + dx, moved[1] + dy), math.hypot(dx, dy)
        if step < NOTHING:
            return moved
    return None


def meeting_points(first: Point, from_first: float, second: Point, from_second: float) -> tuple[Point, Point]:
    """Where two arcs meet: the points at given distances from two others.

    Args:
        first: a point.
        from_first: the distance from it, in the same unit.
        second: another point.
        from_second: the distance from that.
    Returns: the point to the left of the way from the first to the second, then the one to the right.
    Raises:
        LayoutError: when the points are one, or no triangle has these sides.

    Valid for every plane triangle. Source: HOUSE (law of cosines)
    """
    apart = math.dist(first, second)
    if apart < NOTHING:
        raise LayoutError(_("Both distances are taken from one place; take them from two"))
    require_triangle(from_first, from_second, apart)
    along = (from_first**2 - from_second**2 + apart**2) / (2 * apart)
    aside = math.sqrt(max(from_first**2 - along**2, 0.0))
    ux, uy = (second[0] - first[0]) / apart, (second[1] - first[1]) / apart
    x, y = first[0] + along * ux, first[1] + along * uy
    return (x - aside * uy, y + aside * ux), (x + aside * uy, y - aside * ux)


def require_triangle(one: float, other: float, apart: float) -> None:
    """Refuse two distances that no point can have from two others.

    Args:
        one: the distance from the first.
        other: the distance from the second.
        apart: how far the two are apart.
    Raises:
        LayoutError: when together they do not reach, or one is longer than the way round.

    Valid in the plane and in space. Source: HOUSE (triangle inequality)
    """
    words = {"one": f"{one:.4g}", "other": f"{other:.4g}", "apart": f"{apart:.4g}"}
    if one + other < apart - NOTHING:
        raise LayoutError(
            _("%(one)s and %(other)s do not reach each other: the datums are %(apart)s apart", **words)
        )
    if abs(one - other) > apart + NOTHING:
        raise LayoutError(
            _("%(one)s and %(other)s differ by more than the %(apart)s that the datums are apart", **words)
        )

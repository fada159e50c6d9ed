"""Readings that say where a part stands on a body: what each is, and what it should read.

Axes: x forward, y left, z up; millimetres and degrees. A pose moves the part from where it should be:
shifted, and turned about the middle of its points.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from shop.engineering.errors import GeometryError
from shop.engineering.words import say as _

Vector = tuple[float, float, float]
# A distance shorter than this says nothing of direction.
SHORTEST_MM = 5.0


class ReadingKind(StrEnum):
    """What is measured.

    DISTANCE: point to point, from a point of the part to one of the body (tape, tram gauge, diagonal).
    PLAN: the same between marks plumbed to the floor, or laid into the datum plane.
    AHEAD: how far ahead of a point of the body, along the car.
    ACROSS: how far to the side of a point of the body, or of the centre line.
    HEIGHT: how far over a point of the body, or over the datum plane.
    LINE: from a line through two points of the body (a rail), square to it, seen from above.
    SLOPE: the angle of a line through two points of the part, as a level on it shows: left or front up is
        above nothing.
    """

    DISTANCE = "distance"
    PLAN = "plan"
    AHEAD = "ahead"
    ACROSS = "across"
    HEIGHT = "height"
    LINE = "line"
    SLOPE = "slope"


FLAT_KINDS = frozenset({ReadingKind.PLAN, ReadingKind.AHEAD, ReadingKind.ACROSS, ReadingKind.LINE})
_WHAT = {ReadingKind.SLOPE: (2, 0), ReadingKind.LINE: (1, 2)}


@dataclass(frozen=True)
class Asked:
    """One reading that may be taken.

    Attributes:
        points: of the part: one, or two for a slope.
        references: of the body: one, two for a line, none where the datum itself is meant.
        uncertainty: standard, mm; degrees for a slope.
    """

    code: str
    kind: ReadingKind
    points: tuple[str, ...]
    references: tuple[str, ...] = ()
    uncertainty: float = 0.5

    @property
    def is_angle(self) -> bool:
        return self.kind is ReadingKind.SLOPE


@dataclass(frozen=True)
class Frame:
    """A part and a body: named points where they should be, and which readings could be taken.

    Attributes:
        is_flat: only the plan counts: shifts ahead and across, and yaw.
    """

    points: Mapping[str, Vector]
    references: Mapping[str, Vector]
    asked: tuple[Asked, ...]
    is_flat: bool = False
    _by_code: dict[str, Asked] = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        _require_frame(self)
        self._by_code.update({asked.code: asked for asked in self.asked})

    def find(self, code: str) -> Asked:
        found = self._by_code.get(code)
        if found is None:
            raise GeometryError(_("%(code)s is not asked for here", code=code))
        return found

    @property
    def middle(self) -> Vector:
        """The middle of the part's points: it is turned about this."""
        every = list(self.points.values())
        x, y, z = (sum(p[i] for p in every) / len(every) for i in range(3))
        return (x, y, z)

    @property
    def reach(self) -> float:
        """The typical distance of the points from their middle, mm: turned by 1/reach it moves 1 mm there."""
        m = self.middle
        squares = [math.dist(p[: 2 if self.is_flat else 3], m[: 2 if self.is_flat else 3]) ** 2
                   for p in self.points.values()]  # fmt: skip
        return math.sqrt(sum(squares) / len(squares))


def expected_reading(frame: Frame, asked: Asked, at: Mapping[str, Vector]) -> tuple[float, list[Vector]]:
    """What a reading shows with the points where they are, and how it changes as each moves.

    Args:
        frame: the part on its body.
        asked: the reading.
        at: where the part's points are, mm.
    Returns: the reading, mm or degrees, and one gradient for each of its points.
    Raises:
        GeometryError: the points are too near to give a direction.

    Valid wherever the points are apart. Source: HOUSE (analytic geometry)
    """
    if asked.kind is ReadingKind.SLOPE:
        return _slope(at[asked.points[0]], at[asked.points[1]])
    point = at[asked.points[0]]
    origin = frame.references[asked.references[0]] if asked.references else (0.0, 0.0, 0.0)
    if asked.kind is ReadingKind.LINE:
        return _from_line(point, origin, frame.references[asked.references[1]])
    apart = tuple(p - o for p, o in zip(point, origin, strict=True))
    if asked.kind in {ReadingKind.DISTANCE, ReadingKind.PLAN}:
        plan = asked.kind is ReadingKind.PLAN or frame.is_flat
        x, y, z = apart[0], apart[1], 0.0 if plan else apart[2]
        length = math.sqrt(x * x + y * y + z * z)
        if length < SHORTEST_MM:
            raise GeometryError(
                _("%(code)s is too short to say in which direction it points", code=asked.code)
            )
        return length, [(x / length, y / length, z / length)]
    axis = (ReadingKind.AHEAD, ReadingKind.ACROSS, ReadingKind.HEIGHT).index(asked.kind)
    unit = (1.0 if axis == 0 else 0.0, 1.0 if axis == 1 else 0.0, 1.0 if axis == 2 else 0.0)
    return apart[axis], [unit]


def require_possible(frame: Frame, readings: Mapping[str, float]) -> None:
    """Refuse distances that cannot meet: the two sides of a triangle together are no shorter than the third.

    Args:
        frame: the part on its body.
        readings: by the code of what is asked, mm or degrees.
    Raises:
        GeometryError: a length that is not above nothing, or three lengths that make no triangle.

    Valid for distances from one point to two of the body. Source: HOUSE (triangle inequality)
    """
    lengths: dict[tuple[str, bool], list[tuple[Asked, float]]] = {}
    for code, value in readings.items():
        asked = frame.find(code)
        if not math.isfinite(value):
            raise GeometryError(_("%(code)s is no figure", code=code))
        if asked.kind in {ReadingKind.DISTANCE, ReadingKind.PLAN}:
            if value <= 0:
                raise GeometryError(_("%(code)s is a length: it is above nothing", code=code))
            plan = asked.kind is ReadingKind.PLAN or frame.is_flat
            lengths.setdefault((asked.points[0], plan), []).append((asked, value))
    for (point, plan), found in lengths.items():
        for i, first in enumerate(found):
            for second in found[i + 1 :]:
                _require_triangle(frame, point, first, second, plan=plan)


def _require_triangle(
    frame: Frame, point: str, first: tuple[Asked, float], second: tuple[Asked, float], *, plan: bool
) -> None:
    size = 2 if plan else 3
    one, other = first[0].references[0], second[0].references[0]
    base = math.dist(frame.references[one][:size], frame.references[other][:size])
    slack = 4 * math.hypot(first[0].uncertainty, second[0].uncertainty)
    if first[1] + second[1] < base - slack or abs(first[1] - second[1]) > base + slack:
        raise GeometryError(
            _(
                "%(one)s and %(other)s cannot both be right: %(a)s and %(b)s are %(base).0f mm apart, and no "
                "point is %(r).0f mm from one and %(s).0f mm from the other; measure both again",
                one=first[0].code, other=second[0].code, a=one, b=other, base=base, r=first[1], s=second[1],
            )
        )  # fmt: skip


def _slope(first: Vector, second: Vector) -> tuple[float, list[Vector]]:
    """Positive where the first point is the higher; per mm of rise."""
    run = math.hypot(first[0] - second[0], first[1] - second[1])
    if run < SHORTEST_MM:
        raise GeometryError(_("A level needs two points that are apart"))
    rise = first[2] - second[2]
    each = math.degrees(1) * run / (run * run + rise * rise)
    along = -math.degrees(1) * rise / (run * run + rise * rise) / run
    x, y = (first[0] - second[0]) * along, (first[1] - second[1]) * along
    return math.degrees(math.atan2(rise, run)), [(x, y, each), (-x, -y, -each)]


def _from_line(point: Vector, one: Vector, other: Vector) -> tuple[float, list[Vector]]:
    """Square to the line in plan, above nothing to its left seen from the first reference to the second."""
    x, y = other[0] - one[0], other[1] - one[1]
    length = math.hypot(x, y)
    normal = (-y / length, x / length, 0.0)
    return sum(n * (p - o) for n, p, o in zip(normal, point, one, strict=True)), [normal]


def _require_frame(frame: Frame) -> None:
    if len(frame.points) < 3:
        raise GeometryError(_("Two points do not pin a part; name a third, away from their line"))
    corners = list(frame.points.values())
    size = 2 if frame.is_flat else 3
    far = max(corners[1:], key=lambda p: math.dist(p[:size], corners[0][:size]))
    if not any(_off_line(p, corners[0], far, size) > SHORTEST_MM for p in corners):
        raise GeometryError(
            _("The points lie on one line: the part could turn about it unseen; name one beside the line")
        )
    codes = [asked.code for asked in frame.asked]
    if len(set(codes)) < len(codes):
        raise GeometryError(_("Each reading has a code of its own"))
    for asked in frame.asked:
        _require_asked(frame, asked)


def _require_asked(frame: Frame, asked: Asked) -> None:
    points, references = _WHAT.get(asked.kind, (1, 1))
    needs_reference = asked.kind in {ReadingKind.DISTANCE, ReadingKind.PLAN, ReadingKind.LINE}
    right = len(asked.points) == points and (
        len(asked.references) == references or (not asked.references and not needs_reference)
    )
    known: tuple[tuple[Sequence[str], Mapping[str, Vector]], ...] = (
        (asked.points, frame.points),
        (asked.references, frame.references),
    )
    for names, where in known:
        for name in names:
            if name not in where:
                raise GeometryError(_("%(code)s: there is no point %(name)s", code=asked.code, name=name))
    if not right or len(set(asked.points)) < points or len(set(asked.references)) < len(asked.references):
        raise GeometryError(_("%(code)s needs other points than these", code=asked.code))
    if not asked.uncertainty > 0:
        raise GeometryError(_("%(code)s: nothing is measured without uncertainty", code=asked.code))
    if frame.is_flat and asked.kind in {ReadingKind.HEIGHT, ReadingKind.SLOPE}:
        raise GeometryError(_("%(code)s: heights and slopes need all three dimensions", code=asked.code))
    expected_reading(frame, asked, frame.points)


def _off_line(point: Sequence[float], start: Sequence[float], end: Sequence[float], size: int) -> float:
    length = math.dist(start[:size], end[:size])
    if length == 0:
        return 0.0
    way = [(e - s) / length for s, e in zip(start[:size], end[:size], strict=True)]
    apart = [p - s for p, s in zip(point[:size], start[:size], strict=True)]
    along = sum(a * b for a, b in zip(way, apart, strict=True))
    return math.sqrt(max(0.0, sum(a * a for a in apart) - along * along))

"""A view of the layout as a plain dimensioned drawing. Pure data for SVG: paths and words with their places.

The mark in hand is drawn thick, with the dimensions that lay it out; dashed lines are its cross-checks,
numbered as their readings are. A mark that was checked carries a filled square, a wrong one a cross, others a
ring.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from jobs.judging.layouts import CUT_LINE, HOLE, Mark, View, number
from shop.engineering.layout import plane
from shop.engineering.layout.words import OPPOSITE, length_words

WIDTH, MARGIN_X, MARGIN_Y = 800.0, 90.0, 84.0
LEAST_HEIGHT, MOST_HEIGHT = 190.0, 460.0
DIMENSION_STEP, LETTERS, SMALL = 46.0, 34.0, 22.0
HATCH = 14.0
# Of a cross-check so short that its number would lie on the code of its mark.
SHORT_SPAN = 120.0


class Shown(StrEnum):
    """How a mark stands, as the drawing shows it."""

    OPEN = "open"
    CHECKED = "checked"
    WRONG = "wrong"


@dataclass(frozen=True)
class Stroke:
    """A path. `kind` is a class for screens; width and dash are for paper."""

    path: str
    kind: str
    width: float
    dash: str = ""
    filled: bool = False


@dataclass(frozen=True)
class Words:
    """Words at a place, with what keeps the lines beneath from running through them."""

    x: float
    y: float
    text: str
    size: float
    anchor: str = "middle"
    heavy: bool = False


@dataclass(frozen=True)
class LayoutPicture:
    """Everything that the template draws; `stretched` says that heights are drawn larger than lengths."""

    width: float
    height: float
    strokes: tuple[Stroke, ...]
    words: tuple[Words, ...]
    title: str
    legend: tuple[tuple[str, str], ...]
    stretched: bool
    mirrored: bool


class _Scale:
    """From the view's unit to the drawing, mirrored where the other side of the car is meant."""

    def __init__(self, points: Iterable[plane.Point], levels: int, mirrored: bool) -> None:
        xs, ys = zip(*points, strict=True)
        self.left, self.right, self.low, self.high = min(xs), max(xs), min(ys), max(ys)
        across, up = max(self.right - self.left, 1e-6), max(self.high - self.low, 1e-6)
        self.by_x = (WIDTH - 2 * MARGIN_X) / across
        self.body = min(max(up * self.by_x, LEAST_HEIGHT), MOST_HEIGHT)
        self.by_y = self.body / up
        self.mirrored = mirrored
        self.height = self.body + 2 * MARGIN_Y + levels * DIMENSION_STEP

    @property
    def stretched(self) -> bool:
        return bool(abs(self.by_y / self.by_x - 1) > 0.05)

    def at(self, point: plane.Point) -> plane.Point:
        x = MARGIN_X + (point[0] - self.left) * self.by_x
        y = MARGIN_Y + (self.high - point[1]) * self.by_y
        return (WIDTH - x if self.mirrored else x, y)


def draw_layout(
    view: View,
    *,
    in_hand: str = "",
    checks: tuple[plane.Span, ...] = (),
    shown: Mapping[str, Shown] | None = None,
    mirrored: bool = False,
) -> LayoutPicture:
    """Draw a view.

    Args:
        in_hand: the code of the mark that is emphasised; none for the whole view.
        checks: its cross-checks, numbered after the readings of its layout.
        shown: how the marks stand, by their codes.
    """
    datums = view.plane_datums(view.unit)
    flat = {mark.code: mark.in_unit(view.unit, datums) for mark in view.marks}
    outline = [(number(x, view.unit), number(y, view.unit)) for x, y in view.outline]
    held = flat.get(in_hand)
    scale = _Scale(_points(outline, datums, flat), len(held.steps) if held else 0, mirrored)
    drawing = _Drawing(view, scale)
    drawing.outline(outline)
    states = shown or {}
    for mark in view.marks:
        drawing.mark(mark, flat[mark.code], mark.code == in_hand, states.get(mark.code, Shown.OPEN))
    for datum in datums.values():
        drawing.datum(datum)
    if held is not None:
        drawing.checks(held, checks)
        drawing.dimensions(held)
    return LayoutPicture(
        WIDTH,
        round(scale.height, 1),
        tuple(drawing.strokes),
        tuple(drawing.told),
        view.name,
        tuple((datum.code, datum.name) for datum in view.datums),
        scale.stretched,
        mirrored,
    )


def _points(
    outline: list[plane.Point], datums: Mapping[str, plane.Datum], marks: Mapping[str, plane.Mark]
) -> list[plane.Point]:
    """Everything that must have a place in the drawing."""
    ends = [p for datum in datums.values() for p in (datum.at, datum.to) if p is not None]
    return [*outline, *ends, *(end for mark in marks.values() for end in mark.ends)]


class _Drawing:
    def __init__(self, view: View, scale: _Scale) -> None:
        self.view, self.scale = view, scale
        self.strokes: list[Stroke] = []
        self.told: list[Words] = []

    def outline(self, points: list[plane.Point]) -> None:
        if points:
            self.strokes.append(Stroke(_path([self.scale.at(p) for p in points]) + "Z", "metal", 2))

    def datum(self, datum: plane.Datum) -> None:
        x, y = self.scale.at(datum.at)
        if datum.to is not None:
            to_x, to_y = self.scale.at(datum.to)
            self.strokes.append(Stroke(_path([(x, y), (to_x, to_y)]), "datum", 4))
            x, y = (to_x, to_y) if to_y < y else ((x + to_x) / 2, (y + to_y) / 2)
            upright = abs(to_x - x) < 1 and datum.to is not None and to_y <= y
            self.words(x, y - 14 if upright else y + 30, datum.code, SMALL, heavy=True)
            return
        self.strokes.append(
            Stroke(_ring(x, y, 9) + f"M{x - 15:.1f} {y:.1f}h30M{x:.1f} {y - 15:.1f}v30", "datum", 3)
        )
        self.words(x + 24, y - 12, datum.code, SMALL, heavy=True)

    def mark(self, mark: Mark, flat: plane.Mark, held: bool, shown: Shown) -> None:
        ends = [self.scale.at(end) for end in flat.ends]
        width, kind = (7, "held") if held else (2.5, "other")
        if mark.kind == HOLE:
            (x, y), radius = ends[0], max(flat.radius * self.scale.by_x, 9)
            self.strokes.append(Stroke(_ring(x, y, radius), kind, width))
            self.strokes.append(Stroke(f"M{x - 18:.1f} {y:.1f}h36M{x:.1f} {y - 18:.1f}v36", kind, width / 2))
        else:
            dash = "" if mark.kind == CUT_LINE else "22 6 4 6"
            self.strokes.append(Stroke(_path(ends), kind, width, dash))
            if mark.kind == CUT_LINE and mark.waste:
                self.strokes.append(Stroke(self._waste(mark, ends), kind, 2))
        x, y = min(ends, key=lambda end: end[1])
        self.words(x, y - 20, mark.code, LETTERS if held else SMALL, heavy=held)
        low = max(ends, key=lambda end: end[1])
        self.strokes.append(_symbol(shown, x + 42, y - 28) if held else _symbol(shown, low[0], low[1] + 34))

    def _waste(self, mark: Mark, ends: list[plane.Point]) -> str:
        """Short hatching on the side that comes off."""
        (x, y), (to_x, to_y) = ends
        length = math.dist(*ends)
        toward = {self.view.axes.x: (1.0, 0.0), OPPOSITE[self.view.axes.x]: (-1.0, 0.0)}
        toward |= {self.view.axes.y: (0.0, -1.0), OPPOSITE[self.view.axes.y]: (0.0, 1.0)}
        dx, dy = toward[mark.waste]
        dx = -dx if self.scale.mirrored else dx
        lines = []
        for n in range(1, max(int(length // HATCH), 2)):
            at = n * HATCH / max(length, 1)
            px, py = x + at * (to_x - x), y + at * (to_y - y)
            lines.append(f"M{px:.1f} {py:.1f}l{dx * 16 + dy * 10:.1f} {dy * 16 + abs(dx) * 10:.1f}")
        return "".join(lines)

    def checks(self, held: plane.Mark, checks: tuple[plane.Span, ...]) -> None:
        for n, span in enumerate(checks, start=len(held.laid_out) + 1):
            end = held.ends[span.end]
            foot = _foot(span.datum, end)
            (x, y), (to_x, to_y) = self.scale.at(foot), self.scale.at(end)
            self.strokes.append(Stroke(_path([(x, y), (to_x, to_y)]), "check", 2.5, "10 8"))
            at = 0.62 - 0.12 * (n % 2)
            middle = x + at * (to_x - x), y + at * (to_y - y) + 9
            beside = x - 24, y - 12  # over against the datum's letter, where the mark's own code is too near
            where = middle if math.dist((x, y), (to_x, to_y)) > SHORT_SPAN else beside
            self.words(*where, str(n), LETTERS - 6, heavy=True)

    def dimensions(self, held: plane.Mark) -> None:
        """A dimension for each step of the layout: along the view beneath it, across it at the side."""
        level = 0
        for n, step in enumerate(held.steps, start=1):
            end = held.ends[step.ends[0]]
            foot = _foot(step.datum, end)
            text = length_words(held.reads(step.spans[0]), self.view.unit)
            (x, y), (to_x, to_y) = self.scale.at(foot), self.scale.at(end)
            told = f"{n}: {text}" if len(held.steps) > 1 else text
            if abs(to_y - y) < 1:
                base = MARGIN_Y + self.scale.body + 56 + level * DIMENSION_STEP
                level += 1
                self._along(x, to_x, max(y, to_y), base, told)
            else:
                self._slanted((x, y), (to_x, to_y), told)

    def _along(self, x: float, to_x: float, from_y: float, base: float, text: str) -> None:
        sign = 1 if to_x > x else -1
        path = f"M{x:.1f} {from_y:.1f}V{base + 8:.1f}M{to_x:.1f} {from_y:.1f}V{base + 8:.1f}"
        self.strokes.append(Stroke(path, "thin", 1.5))
        arrows = _path([(x, base), (to_x, base)]) + _arrow(x, base, -sign, 0) + _arrow(to_x, base, sign, 0)
        self.strokes.append(Stroke(arrows, "dimension", 3))
        middle = min(max((x + to_x) / 2, 100), WIDTH - 100)
        self.words(middle, base - 10, text, LETTERS, heavy=True)

    def _slanted(self, start: plane.Point, end: plane.Point, text: str) -> None:
        length = max(math.dist(start, end), 1)
        dx, dy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        arrows = _path([start, end]) + _arrow(*start, -dx, -dy) + _arrow(*end, dx, dy)
        self.strokes.append(Stroke(arrows, "dimension", 3))
        x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2 + 10
        inside = x < WIDTH - 190
        self.words(x + 14 if inside else x - 14, y, text, LETTERS, "start" if inside else "end", heavy=True)

    def words(
        self, x: float, y: float, text: str, size: float, anchor: str = "middle", *, heavy: bool = False
    ) -> None:
        self.told.append(Words(round(x, 1), round(y, 1), text, size, anchor, heavy))


def _symbol(shown: Shown, x: float, y: float) -> Stroke:
    if shown == Shown.CHECKED:
        return Stroke(f"M{x - 9:.1f} {y - 9:.1f}h18v18h-18Z", "checked", 2, filled=True)
    if shown == Shown.WRONG:
        path = f"M{x - 10:.1f} {y - 10:.1f}l20 20M{x + 10:.1f} {y - 10:.1f}l-20 20"
        return Stroke(path, "wrong", 6)
    return Stroke(_ring(x, y, 8), "open", 2)


def _foot(datum: plane.Datum, end: plane.Point) -> plane.Point:
    """Where the tape begins: at a point, or square from an edge."""
    if not datum.is_edge:
        return datum.at
    off = datum.offset(end)
    return (end[0] - off * datum.normal[0], end[1] - off * datum.normal[1])


def _path(points: list[plane.Point]) -> str:
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def _ring(x: float, y: float, radius: float) -> str:
    r = f"{radius:.1f}"
    return f"M{x - radius:.1f} {y:.1f}a{r} {r} 0 1 0 {2 * radius:.1f} 0a{r} {r} 0 1 0 {-2 * radius:.1f} 0"


def _arrow(x: float, y: float, dx: float, dy: float) -> str:
    """An arrowhead whose point lies in a place and shows along a direction."""
    back_x, back_y = x - 16 * dx, y - 16 * dy
    one, other = (back_x - 6 * dy, back_y + 6 * dx), (back_x + 6 * dy, back_y - 6 * dx)
    return _path([one, (x, y), other])

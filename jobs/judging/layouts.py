"""A procedure's layout: the views of rails and panels, with their datums and the marks laid out from them.

Kept as the file writes it and read again here: drawings and templates find every figure as it was given.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from django.utils.translation import gettext_lazy

from shop.engineering.layout import plane
from shop.engineering.layout.plane import meeting_points
from shop.engineering.layout.words import OPPOSITE, Axes
from shop.engineering.quantities import Dimension, Quantity, QuantityError, parse_quantity
from shop.engineering.words import say

CUT_LINE, HOLE, CENTRE_LINE = "cut line", "hole", "centre line"
KINDS = (CUT_LINE, HOLE, CENTRE_LINE)
KIND_WORDS = {
    CUT_LINE: gettext_lazy("cut line"),
    HOLE: gettext_lazy("hole"),
    CENTRE_LINE: gettext_lazy("centre line"),
}
FACES = ("outer", "inner", "top", "bottom", "front", "rear")
DIRECTIONS = tuple(OPPOSITE)

Place = tuple[Quantity, Quantity]


def parse_place(text: str) -> Place:
    """A point as it is written: along the view, then across it: `31 1/4 in, 3 in`.

    Raises:
        QuantityError: for anything else.
    """
    parts = text.split(",")
    if len(parts) != 2:
        raise QuantityError(
            say("“%(text)s” is no place; write both figures, such as 31 1/4 in, 3 in", text=text)
        )
    first, second = (parse_length(part) for part in parts)
    return first, second


def parse_length(text: str) -> Quantity:
    """A length with its unit.

    Raises:
        QuantityError: for anything else.
    """
    found = parse_quantity(text.strip())
    if found.dimension is not Dimension.LENGTH:
        raise QuantityError(say("“%(text)s” is no length", text=text.strip()))
    return found


def parse_tolerance(text: str) -> Quantity:
    """How far a mark may be off to either side: `±1/16 in`.

    Raises:
        QuantityError: for anything else, and for none at all.
    """
    found = parse_length(text.strip().removeprefix("±"))
    if not text.strip().startswith("±") or found.value <= 0:
        raise QuantityError(say("“%(text)s” is no tolerance; write it like ±1/16 in", text=text))
    return found


def number(length: Quantity, unit: str) -> float:
    return float(length.to(unit).value)


@dataclass(frozen=True)
class Datum:
    """A point, or an edge from one place to another."""

    code: str
    name: str
    at: Place
    to: Place | None

    def in_unit(self, unit: str) -> plane.Datum:
        to = None if self.to is None else _point(self.to, unit)
        return plane.Datum(self.code, _point(self.at, unit), to)


@dataclass(frozen=True)
class Mark:
    """A cut line, a hole or a centre line. `waste`: to which side of a cut line the metal comes off."""

    code: str
    kind: str
    name: str
    ends: tuple[Place, ...]
    laid_out_from: tuple[str, ...]
    tolerance: Quantity
    tolerance_text: str
    size: Quantity | None = None
    size_text: str = ""
    tool: str = ""
    through: str = ""
    waste: str = ""
    piece: str = ""

    @property
    def kind_words(self) -> str:
        return str(KIND_WORDS[self.kind])

    def in_unit(self, unit: str, datums: Mapping[str, plane.Datum]) -> plane.Mark:
        ends = tuple(_point(end, unit) for end in self.ends)
        every = tuple(range(len(ends)))
        return plane.Mark(
            self.code,
            ends,
            tuple(plane.Step(datums[code], every) for code in self.laid_out_from),
            number(self.tolerance, unit),
            number(self.size, unit) / 2 if self.size is not None else 0.0,
        )


@dataclass(frozen=True)
class View:
    """One face of a rail or panel. Where it is `mirrored` the other side of the car is its mirror image."""

    code: str
    name: str
    side: str
    face: str
    mirrored: bool
    axes: Axes
    outline: tuple[Place, ...]
    datums: tuple[Datum, ...]
    marks: tuple[Mark, ...]

    @cached_property
    def unit(self) -> str:
        """The unit of its tape: that of the first figure in it."""
        places = [datum.at for datum in self.datums] + [end for mark in self.marks for end in mark.ends]
        return "mm" if places and places[0][0].unit in {"mm", "cm", "m"} else "in"

    def plane_datums(self, unit: str) -> dict[str, plane.Datum]:
        return {datum.code: datum.in_unit(unit) for datum in self.datums}

    def is_mirrored_for(self, side: str) -> bool:
        """Whether a side of the car is the mirror image of what is drawn."""
        return bool(self.mirrored and self.side and side in {"left", "right"} and side != self.side)


@dataclass(frozen=True)
class Layout:
    """All views of a procedure."""

    views: tuple[View, ...] = ()

    @classmethod
    def of(cls, kept: Mapping[str, Any]) -> "Layout":
        """The layout that a revision keeps; what the first version kept there as notes is none."""
        views = kept.get("views", ())
        return cls(tuple(read_view(view) for view in views)) if isinstance(views, list) else cls()

    def find(self, code: str) -> tuple[View, Mark] | None:
        return next(((v, m) for v, m in self.marks() if m.code == code), None)

    def marks(self) -> Iterator[tuple[View, Mark]]:
        for view in self.views:
            for mark in view.marks:
                yield view, mark


def read_view(kept: Mapping[str, Any]) -> View:
    """One view as the file writes it, already known to be right.

    Raises:
        QuantityError: where a figure is none.
    """
    datums = tuple(read_datum(row) for row in kept.get("datums", ()))
    axes = Axes(kept.get("x", "back"), kept.get("y", "up"))
    return View(
        code=kept["code"],
        name=kept.get("name", ""),
        side=kept.get("side", ""),
        face=kept.get("face", ""),
        mirrored=kept.get("mirrored") == "yes",
        axes=axes,
        outline=tuple(parse_place(text) for text in kept.get("outline", ())),
        datums=datums,
        marks=tuple(read_mark(row, {d.code: d for d in datums}, axes) for row in kept.get("marks", ())),
    )


def read_datum(kept: Mapping[str, Any]) -> Datum:
    """A datum as the file writes it.

    Raises:
        QuantityError: where a figure is none.
    """
    if "at" in kept:
        return Datum(kept["code"], kept.get("name", ""), parse_place(kept["at"]), None)
    return Datum(kept["code"], kept.get("name", ""), parse_place(kept["from"]), parse_place(kept["to"]))


def read_mark(kept: Mapping[str, Any], datums: Mapping[str, Datum], axes: Axes) -> Mark:
    """A mark as the file writes it.

    Raises:
        QuantityError: where a figure is none, or distances from its datums meet nowhere.
    """
    size = kept.get("size", "")
    return Mark(
        code=kept["code"],
        kind=kept["kind"],
        name=kept.get("name", ""),
        ends=_ends(kept, datums, axes),
        laid_out_from=tuple(kept.get("laid_out_from", ())),
        tolerance=parse_tolerance(kept["tolerance"]),
        tolerance_text=kept["tolerance"],
        size=parse_length(size) if size else None,
        size_text=size,
        tool=kept.get("tool", ""),
        through=kept.get("through", ""),
        waste=kept.get("waste", ""),
        piece=kept.get("piece", ""),
    )


def _ends(kept: Mapping[str, Any], datums: Mapping[str, Datum], axes: Axes) -> tuple[Place, ...]:
    if "from" in kept:
        return parse_place(kept["from"]), parse_place(kept["to"])
    if "at" in kept:
        return (parse_place(kept["at"]),)
    return (_met(kept, datums, axes),)


def _met(kept: Mapping[str, Any], datums: Mapping[str, Datum], axes: Axes) -> Place:
    """Where the arcs from two datum points meet, on the side that is named."""
    first, second = (datums[code] for code in kept["laid_out_from"])
    distances = [parse_length(text) for text in kept["distances"]]
    unit = "mm" if distances[0].unit in {"mm", "cm", "m"} else "in"
    both = meeting_points(
        _point(first.at, unit),
        number(distances[0], unit),
        _point(second.at, unit),
        number(distances[1], unit),
    )
    sign = 1 if kept["toward"] in (axes.x, axes.y) else -1
    n = 0 if kept["toward"] in (axes.x, OPPOSITE[axes.x]) else 1
    x, y = max(both, key=lambda point: sign * point[n])
    return _exactly(x, unit), _exactly(y, unit)


def _exactly(value: float, unit: str) -> Quantity:
    return Quantity(Fraction(round(value * 10**6), 10**6), unit)


def _point(place: Place, unit: str) -> plane.Point:
    return number(place[0], unit), number(place[1], unit)

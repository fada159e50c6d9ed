"""What can be read of a part that is being written: figures that are none yet are left out and told."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from django.utils.translation import gettext as _

from jobs.judging.cradle import parse_vector
from jobs.judging.layouts import (
    DIRECTIONS,
    KINDS,
    Datum,
    Mark,
    View,
    parse_length,
    parse_place,
    parse_tolerance,
    read_datum,
    read_mark,
)
from jobs.judging.weld_map import KIND_WORDS, MappedWeld, read_weld
from jobs.procedures.draft_tree import numbered
from shop.engineering.errors import GeometryError
from shop.engineering.layout.words import OPPOSITE, Axes
from shop.engineering.placing.readings import Vector
from shop.engineering.quantities import Quantity, QuantityError
from shop.engineering.words import say

LISTED = ("laid_out_from", "distances")
Figures = dict[str, Any]
Row = Mapping[str, Any]
T = TypeVar("T")
# In place of a figure that says nothing of where a mark is, while it is not there yet.
ANY_TOLERANCE, ANY_THICKNESS = "±1 in", "1/8 in"
# No part of a car is longer: beyond it a figure is a slip, and its drawing would show nothing.
LONGEST_IN = 10_000


def readable_view(kept: Row) -> tuple[View, tuple[str, ...]]:
    """A view with whatever can be read of it, and what is left out, in words."""
    told: list[str] = []
    axes = _axes(kept)
    datums = tuple(_each(kept, "datums", lambda row: _datum(row), told))
    by_code = {datum.code: datum for datum in datums}
    marks = tuple(_each(kept, "marks", lambda row: _mark(row, by_code, axes), told))
    corners = tuple(_corners(kept.get("outline")))
    words = {key: str(kept.get(key) or "") for key in ("code", "name", "side", "face")}
    is_mirrored = kept.get("mirrored") == "yes"
    view = View(**words, mirrored=is_mirrored, axes=axes, outline=corners, datums=datums, marks=marks)
    return view, tuple(told)


def readable_welds(kept: Row) -> tuple[tuple[tuple[int, MappedWeld], ...], tuple[str, ...]]:
    """The welds of a map that have a place, with their numbers, and which are left out."""
    told: list[str] = []
    found = tuple(_each(kept, "welds", _weld, told, with_number=True))
    return tuple((number, weld) for number, weld in found), tuple(told)


def readable_cradle(kept: Row) -> tuple[tuple[dict[str, Vector], dict[str, Vector]], tuple[str, ...]]:
    """Points and references that have a place, and which are left out."""
    told: list[str] = []
    places = [dict(_each(kept, key, _vector, told)) for key in ("points", "references")]
    return (places[0], places[1]), tuple(told)


def readable_hole(kept: Row) -> tuple[Figures, tuple[str, ...]]:
    """A hole with the sizes that can be read, and which are left out."""
    told: list[str] = []
    hole: Figures = {key: value for key, value in kept.items() if isinstance(value, str) and value}
    for key in ("size", "takes_size", "edge"):
        if key in hole and not _is_size(hole[key]):
            told.append(_("“%(text)s” is no size") % {"text": hole.pop(key)})
    walls = [
        {k: v for k, v in wall.items() if isinstance(v, str)} for _n, wall in numbered(dict(kept), "walls")
    ]
    hole["walls"] = [{"name": "", **wall, "size": _size(wall)} for wall in walls]
    return hole, tuple(told)


def _each(
    kept: Row, key: str, read: Callable[[Row], T], told: list[str], *, with_number: bool = False
) -> Iterator[Any]:
    """Each row of a list that can be read; the others are told."""
    for number, row in numbered(dict(kept) if isinstance(kept, Mapping) else {}, key):
        try:
            found = read({k: v for k, v in row.items() if isinstance(v, list if k in LISTED else str)})
        except (QuantityError, ArithmeticError, KeyError, TypeError, ValueError):
            told.append(str(row.get("code") or number + 1))
            continue
        yield (number, found) if with_number else found


def _axes(kept: Row) -> Axes:
    x = kept.get("x") if kept.get("x") in DIRECTIONS else "back"
    y = kept.get("y") if kept.get("y") in DIRECTIONS else "up"
    return Axes(str(x), str(y)) if y not in (x, OPPOSITE[str(x)]) else Axes("back", "up")


def _datum(row: Row) -> Datum:
    found = read_datum({"code": "", **row})
    ends = [found.at, *([found.to] if found.to else [])]
    _require_near(length for end in ends for length in end)
    if found.to is not None and _same_place(found.at, found.to):
        raise GeometryError(say("an edge without a length"))
    return found


def _mark(row: Row, datums: Mapping[str, Datum], axes: Axes) -> Mark:
    """A mark as far as it says where it is: what else is missing does not keep it from being drawn."""
    if row.get("kind") not in KINDS:
        raise GeometryError(say("of no kind"))
    usable = {"code": "", **row}
    if not _reads(parse_tolerance, row.get("tolerance")):
        usable["tolerance"] = ANY_TOLERANCE
    if not _reads(parse_length, row.get("size")):
        usable["size"] = ""
    mark = read_mark(usable, datums, axes)
    _require_near(length for end in mark.ends for length in end)
    if len(mark.ends) == 2 and _same_place(*mark.ends):
        raise GeometryError(say("a line without a length"))
    sides = {axes.x, axes.y, OPPOSITE[axes.x], OPPOSITE[axes.y]}
    from_known = tuple(code for code in mark.laid_out_from if code in datums)
    return replace(mark, laid_out_from=from_known, waste=mark.waste if mark.waste in sides else "")


def _weld(row: Row) -> MappedWeld:
    """A weld as far as it says where it is."""
    if row.get("kind") not in KIND_WORDS:
        raise GeometryError(say("of no kind"))
    places = {key: row[key] for key in ("kind", "at", "from", "to") if key in row}
    code = "".join(c for c in str(row.get("code") or "") if c.isalnum())[:8] or "0"
    side = row.get("side") if row.get("side") in ("left", "right") else ""
    usable = {**places, "code": code, "made_in": "-", "inspected_at": "-", "view": "-", "side": side}
    weld = replace(read_weld(usable, ANY_THICKNESS), view=str(row.get("view") or ""))
    if max(map(abs, (*weld.start, *weld.end))) > LONGEST_IN * 25.4:
        raise GeometryError(say("too far away"))
    return weld


def _vector(row: Row) -> tuple[str, Vector]:
    found = parse_vector(str(row["at"]), str(row.get("code") or ""))
    if max(map(abs, found)) > LONGEST_IN * 25.4:
        raise GeometryError(say("too far away"))
    return str(row.get("code") or ""), found


def _corners(outline: Any) -> Iterator[tuple[Quantity, Quantity]]:
    for text in outline if isinstance(outline, list) else ():
        if _reads(parse_place, text):
            corner = parse_place(text)
            if all(abs(length.to("in").value) <= LONGEST_IN for length in corner):
                yield corner


def _require_near(lengths: Iterator[Quantity]) -> None:
    if any(abs(length.to("in").value) > LONGEST_IN for length in lengths):
        raise GeometryError(say("too far away"))


def _same_place(one: tuple[Quantity, Quantity], other: tuple[Quantity, Quantity]) -> bool:
    return all(a.quanta == b.quanta for a, b in zip(one, other, strict=True))


def _reads(parse: Callable[[str], Any], text: Any) -> bool:
    try:
        return isinstance(text, str) and parse(text) is not None
    except QuantityError:
        return False


def _is_size(text: Any) -> bool:
    return _reads(parse_length, text) and 0 < parse_length(text).to("in").value <= LONGEST_IN


def _size(wall: Row) -> str:
    size = str(wall.get("size") or "")
    return size if _is_size(size) else ""

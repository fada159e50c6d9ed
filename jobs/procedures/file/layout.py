"""The views of a layout in a file: every figure readable, datums on metal that stays, marks placed."""

import re
from collections.abc import Callable
from typing import Any

from django.utils.translation import gettext as _

from jobs.judging.layouts import (
    CUT_LINE,
    DIRECTIONS,
    FACES,
    HOLE,
    KINDS,
    Datum,
    Layout,
    Mark,
    parse_length,
    parse_place,
    parse_tolerance,
    read_datum,
    read_mark,
    read_view,
)
from jobs.judging.questions import said
from jobs.procedures.file.fields import Faults, Fields
from jobs.procedures.file.layout_checks import check_view
from jobs.procedures.yaml_text import Listing, Table, Text, plain
from shop.engineering.layout.words import OPPOSITE, Axes
from shop.engineering.quantities import QuantityError

CODE = re.compile(r"[A-Z][A-Z0-9]{0,7}")
VIEW_KEYS = ("code", "name", "side", "face", "mirrored", "x", "y", "outline", "datums", "marks")
DATUM_KEYS = ("code", "name", "at", "from", "to")
LINE_KEYS = ("code", "kind", "name", "from", "to", "laid_out_from", "tolerance", "waste", "piece")
HOLE_KEYS = (
    *("code", "kind", "name", "at", "distances", "toward", "laid_out_from", "tolerance"),
    *("size", "tool", "through"),
)
LONGEST_NAME = 60
SIDES = ("left", "right")
THROUGH = ("one wall", "both walls")


def read_layout(table: Table | None, faults: Faults) -> dict[str, Any]:
    """The `layout` of a file as it is kept; faults in its views are added to `faults`.

    What stands beside the views is kept as it is written.
    """
    if table is None:
        return {}
    kept: dict[str, Any] = plain(table)
    if isinstance(table.values.get("views"), Listing):
        fields, before = Fields(table, "layout", faults), len(faults.errors)
        rows = fields.tables("views", longest=20)
        for number, row in enumerate(rows, start=1):
            _view(row, number, faults)
        _refuse_repeated(rows, faults)
        if len(faults.errors) == before:
            Layout.of(kept)
    return kept


def _view(table: Table, number: int, faults: Faults) -> None:
    fields = _named(table, _("view %(number)d") % {"number": number}, faults)
    fields.refuse_unknown(VIEW_KEYS)
    before = len(faults.errors)
    fields.text("name", longest=LONGEST_NAME, required=True)
    side = fields.choice("side", SIDES)
    fields.choice("face", FACES)
    if fields.yes_no("mirrored") and not side:
        fields.fault("mirrored", _("says nothing without the “side” that is drawn"))
    axes = _axes(fields)
    for text in fields.texts("outline", longest=LONGEST_NAME):
        _readable(fields, "outline", parse_place, text)
    datums = [
        d for n, row in enumerate(fields.tables("datums", required=True), 1) if (d := _datum(row, n, faults))
    ]
    by_code = {datum.code: datum for datum in datums}
    marks = [
        (row, mark)
        for n, row in enumerate(fields.tables("marks"), 1)
        if (mark := _mark(row, n, by_code, axes, faults)) is not None
    ]
    if len(faults.errors) == before:
        check_view(read_view(plain(table)), fields, {mark.code: row.line for row, mark in marks}, faults)


def _named(table: Table, fallback: str, faults: Faults) -> Fields:
    fields = Fields(table, fallback, faults)
    fields.name = fields.code("code", CODE, "LO") or fallback
    return fields


def _axes(fields: Fields) -> Axes:
    x, y = fields.choice("x", DIRECTIONS) or "back", fields.choice("y", DIRECTIONS) or "up"
    if y in (x, OPPOSITE[x]):
        fields.fault("y", _("runs along x; a view has two directions"))
    return Axes(x, y)


def _readable(fields: Fields, key: str, parse: Callable[[str], Any], text: str) -> None:
    try:
        parse(text)
    except QuantityError as error:
        fields.fault(key, said(error))


def _figure(fields: Fields, key: str, parse: Callable[[str], Any], *, required: bool = False) -> None:
    text = fields.text(key, longest=LONGEST_NAME, required=required)
    if text:
        _readable(fields, key, parse, text)


def _datum(table: Table, number: int, faults: Faults) -> Datum | None:
    fields, before = _named(table, _("datum %(number)d") % {"number": number}, faults), len(faults.errors)
    fields.refuse_unknown(DATUM_KEYS)
    fields.text("name", longest=LONGEST_NAME, required=True)
    if fields.has("at") == (fields.has("from") or fields.has("to")):
        fields.fault("", _("a datum is a point, “at”, or an edge, “from” one place “to” another"))
    keys = ("at",) if fields.has("at") else ("from", "to")
    for key in keys:
        _figure(fields, key, parse_place, required=True)
    return read_datum(plain(table)) if len(faults.errors) == before else None


def _mark(table: Table, number: int, datums: dict[str, Datum], axes: Axes, faults: Faults) -> Mark | None:
    fields, before = _named(table, _("mark %(number)d") % {"number": number}, faults), len(faults.errors)
    kind = fields.choice("kind", KINDS, required=True)
    fields.refuse_unknown(HOLE_KEYS if kind == HOLE else LINE_KEYS)
    fields.text("name", longest=LONGEST_NAME, required=True)
    _figure(fields, "tolerance", parse_tolerance, required=True)
    codes = fields.words("laid_out_from", list(datums))
    if not codes and not fields.has("laid_out_from"):
        fields.fault("", _("is laid out from no datum; name it in “laid_out_from”"))
    if kind == HOLE:
        _hole(fields, codes, datums)
    else:
        _line(fields, kind)
    if len(faults.errors) > before:
        return None
    try:
        return read_mark(plain(table), datums, axes)
    except QuantityError as error:
        fields.fault("distances", said(error))
        return None


def _line(fields: Fields, kind: str) -> None:
    for key in ("from", "to"):
        _figure(fields, key, parse_place, required=True)
    fields.choice("waste", DIRECTIONS, required=kind == CUT_LINE)
    fields.text("piece", longest=LONGEST_NAME)
    if kind != CUT_LINE and fields.has("waste"):
        fields.fault("waste", _("belongs to a cut line"))


def _hole(fields: Fields, codes: tuple[str, ...], datums: dict[str, Datum]) -> None:
    _figure(fields, "size", parse_length, required=True)
    fields.text("tool", longest=LONGEST_NAME, required=True)
    fields.choice("through", THROUGH)
    if fields.has("at") == fields.has("distances"):
        fields.fault(
            "", _("a hole stands “at” a place, or at two “distances” from the datums it is laid out from")
        )
    if not fields.has("distances"):
        _figure(fields, "at", parse_place)
        return
    distances = fields.texts("distances", longest=LONGEST_NAME)
    for text in distances:
        _readable(fields, "distances", parse_length, text)
    fields.choice("toward", DIRECTIONS, required=True)
    points = [code for code in codes if datums[code].to is None]
    if len(distances) != 2 or len(points) != 2 or len(codes) != 2:
        fields.fault("distances", _("are two, from two datum points"))


def _refuse_repeated(views: list[Table], faults: Faults) -> None:
    """Views and marks have codes of their own, over the whole layout."""
    marks = [row for view in views for row in rows_of(view, "marks")]
    seen: set[str] = set()
    for row in (*views, *marks):
        node = row.values.get("code")
        code = node.value if isinstance(node, Text) else ""
        if code and code in seen:
            message = _("stands twice; views and marks have codes of their own")
            faults.add(row.key_lines["code"], f"{code} code", message)
        seen.add(code)


def rows_of(table: Table, key: str) -> list[Table]:
    """The tables of a list, as far as it is one."""
    node = table.values.get(key)
    return [item for item in node.items if isinstance(item, Table)] if isinstance(node, Listing) else []

"""The cradle of a layout in a file: checked whole, so that every reading that is asked for can be fitted."""

from collections.abc import Iterator, Mapping

from django.utils.translation import gettext as _

from jobs.judging.cradle import (
    KIND_WORDS,
    PLACE_KEYS,
    READING_KEYS,
    SECTION_KEYS,
    Cradle,
    parse_vector,
)
from jobs.judging.questions import said
from jobs.models.procedures import CheckpointKind
from jobs.procedures.file.data import ProcedureData
from jobs.procedures.file.fields import Faults, Fields
from jobs.procedures.yaml_text import Listing, Table, Text, plain
from shop.engineering.limits import parse_limits
from shop.engineering.placing.readings import Vector
from shop.engineering.quantities import Dimension, QuantityError

KEY = "cradle"
LONGEST = 80


def check_cradle(layout: Table | None, faults: Faults) -> None:
    """Add to the faults what is wrong with the cradle of a layout."""
    if layout is None or KEY not in layout.values:
        return
    table = Fields(layout, "layout", faults).table_of(KEY)
    if table is None:
        return
    fields, before = Fields(table, KEY, faults), len(faults.errors)
    fields.refuse_unknown(SECTION_KEYS)
    codes = {key: _check_places(fields, key, faults) for key in ("points", "references")}
    for number, row in enumerate(fields.tables("readings", required=True), start=1):
        reading = Fields(row, _("reading %(number)d") % {"number": number}, faults)
        reading.name = reading.text("code", longest=LONGEST, required=True) or reading.name
        reading.refuse_unknown(READING_KEYS)
        reading.choice("kind", [str(kind) for kind in KIND_WORDS], required=True)
        for key, known in (("of", codes["points"]), ("from", codes["references"])):
            _check_named(reading, key, known)
    if len(faults.errors) > before:
        return
    try:
        cradle = Cradle.of(plain(table))
    except QuantityError as error:
        fields.fault("", said(error))
        return
    for places in (cradle.frame.points, cradle.frame.references):
        for left, right in _exchanged(places):
            words = _(
                "%(left)s lies to the right of %(right)s: the second figure of a place counts to the left"
            )
            fields.fault("", words % {"left": left, "right": right})


def _check_places(fields: Fields, key: str, faults: Faults) -> list[str]:
    """Points of the cradle or references on the body, each at a place of three figures; their codes."""
    codes: list[str] = []
    for number, row in enumerate(fields.tables(key, required=True), start=1):
        place = Fields(row, f"{key} {number}", faults)
        code = place.text("code", longest=LONGEST, required=True)
        place.name = code or place.name
        place.refuse_unknown(PLACE_KEYS)
        at = place.text("at", longest=LONGEST, required=True)
        if code and code in codes:
            place.fault("code", _("names “%(word)s” twice") % {"word": code})
        try:
            if at:
                parse_vector(at, code)
        except QuantityError as error:
            place.fault("at", said(error))
        codes.append(code)
    return codes


def _check_named(reading: Fields, key: str, known: list[str]) -> None:
    """The points that a reading names, one bare or several as a list."""
    node = reading.table.values.get(key)
    if isinstance(node, Text) and node.value:
        reading.choice(key, known)
    elif isinstance(node, Listing):
        reading.words(key, known)


def _exchanged(places: Mapping[str, Vector]) -> Iterator[tuple[str, str]]:
    """Points named left and right that are mirrored: LF with RF, LR with RR."""
    for code, (_x, y, _z) in places.items():
        other = f"R{code[1:]}"
        if code.startswith("L") and other in places and y < places[other][1]:
            yield code, other


def check_positions(data: ProcedureData, faults: Faults) -> None:
    """A position is measured by the readings of the cradle, and every point is held to one length."""
    for _operation, checkpoint in data.checkpoints():
        if checkpoint.kind != CheckpointKind.POSITION:
            continue
        if KEY not in data.layout:
            words = _("measures a cradle, but the layout names none")
            faults.add(checkpoint.line_of("kind"), f"{checkpoint.code} kind", words)
        try:
            limits = parse_limits(checkpoint.limit)
            fits = limits.dimension is Dimension.LENGTH and limits.high and limits.low is None
        except QuantityError:
            continue
        if not fits:
            words = _("says how far a point may be off in any direction, such as ≤ 1/8 in")
            faults.add(checkpoint.line_of("limit"), f"{checkpoint.code} limit", words)

"""The cradle of a layout in a file: checked whole, so that every reading that is asked for can be fitted."""

from collections.abc import Iterator, Mapping

from django.utils.translation import gettext as _

from jobs.judging.cradle import PLACE_KEYS, SECTION_KEYS, Cradle
from jobs.judging.questions import said
from jobs.models.procedures import CheckpointKind
from jobs.procedures.file.data import ProcedureData
from jobs.procedures.file.fields import Faults, Fields
from jobs.procedures.yaml_text import Table, plain
from shop.engineering.limits import parse_limits
from shop.engineering.placing.readings import Vector
from shop.engineering.quantities import Dimension, QuantityError

KEY = "cradle"


def check_cradle(layout: Table | None, faults: Faults) -> None:
    """Add to the faults what is wrong with the cradle of a layout."""
    if layout is None or KEY not in layout.values:
        return
    table = Fields(layout, "layout", faults).table_of(KEY)
    if table is None:
        return
    fields, before = Fields(table, KEY, faults), len(faults.errors)
    fields.refuse_unknown(SECTION_KEYS)
    for key in ("points", "references"):
        for row in fields.tables(key, required=True):
            Fields(row, key, faults).refuse_unknown(PLACE_KEYS)
    fields.tables("readings", required=True)
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

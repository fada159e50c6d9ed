"""The weld map of a layout in a file: every weld placed, made in one operation, looked at in a later one."""

import re

from django.utils.translation import gettext as _

from jobs.judging.layouts import parse_length, parse_place
from jobs.judging.questions import said
from jobs.judging.weld_map import KIND_WORDS, MOST, PLUG, PROCESSES, WELD_KEYS
from jobs.models.procedures import CheckpointKind, Flag
from jobs.procedures.file.data import CheckpointData, ProcedureData
from jobs.procedures.file.fields import Faults, Fields
from jobs.procedures.yaml_text import Table
from shop.engineering.quantities import QuantityError

KEY = "weld_map"
CODE = re.compile(r"[A-Za-z0-9]{1,8}")
LONGEST = 60
MOST_GROUPS = 99
SIDES = ("left", "right")


def check_weld_map(data: ProcedureData, root: Table, faults: Faults) -> None:
    """Add to the faults what is wrong with the weld map, each at its line."""
    layout = root.values.get("layout")
    if not isinstance(layout, Table) or KEY not in layout.values:
        return
    table = Fields(layout, "layout", faults).table_of(KEY)
    if table is None:
        return
    fields = Fields(table, KEY, faults)
    fields.refuse_unknown(("thickness", "welds"))
    _length(fields, "thickness")
    rows = fields.tables("welds", required=True, longest=MOST)
    first: dict[str, int] = {}
    for number, row in enumerate(rows, start=1):
        weld = Fields(row, _("weld %(number)d") % {"number": number}, faults)
        code = weld.code("code", CODE, "P12")
        weld.name = code or weld.name
        if code in first:
            weld.fault("code", _("stands twice; first on line %(line)d") % {"line": first[code]})
        if code:
            first.setdefault(code, weld.table.key_lines.get("code", weld.line))
        _check_weld(weld)
        _check_work(weld, data)


def _check_weld(weld: Fields) -> None:
    """What one weld says of itself."""
    weld.refuse_unknown(WELD_KEYS)
    kind = weld.choice("kind", tuple(KIND_WORDS), required=True)
    weld.text("view", longest=LONGEST, required=True)
    weld.choice("side", SIDES)
    weld.text("size", longest=LONGEST)
    weld.choice("process", PROCESSES)
    weld.whole("group", low=1, high=MOST_GROUPS)
    _length(weld, "thickness")
    ends = ("at",) if kind == PLUG else ("from", "to")
    for key in ends if kind else ():
        text = weld.text(key, longest=LONGEST, required=True)
        try:
            if text:
                parse_place(text)
        except QuantityError as error:
            weld.fault(key, said(error))


def _length(fields: Fields, key: str) -> None:
    text = fields.text(key, longest=LONGEST)
    try:
        if text and parse_length(text).value <= 0:
            fields.fault(key, _("is a thickness, such as 1/8 in"))
    except QuantityError as error:
        fields.fault(key, said(error))


def _check_work(weld: Fields, data: ProcedureData) -> None:
    """Welded and tacked where there is hot work; looked at where the welds of that operation are judged."""
    hot = {o.code for o in data.operations if Flag.HOT_WORK in o.gates}
    made_in = weld.text("made_in", longest=LONGEST, required=True)
    for key, code in (("made_in", made_in), ("tacked_in", weld.text("tacked_in", longest=LONGEST))):
        if code and code not in hot:
            weld.fault(key, _("%(code)s is no operation with hot work") % {"code": code})
    at = weld.text("inspected_at", longest=LONGEST, required=True)
    checkpoint = next((c for _o, c in data.checkpoints() if c.code == at), None)
    message = _wrong_look(checkpoint, at, made_in)
    if at and message:
        weld.fault("inspected_at", message)


def _wrong_look(checkpoint: CheckpointData | None, at: str, made_in: str) -> str:
    if checkpoint is None or checkpoint.kind != CheckpointKind.WELD:
        return _("%(code)s is no checkpoint at which welds are judged") % {"code": at}
    if made_in and checkpoint.made_in != made_in:
        parts = {"code": at, "made_in": checkpoint.made_in}
        return _("%(code)s judges the welds of %(made_in)s") % parts
    return ""

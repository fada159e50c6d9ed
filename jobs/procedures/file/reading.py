"""Reading a whole procedure file into plain data."""

import re
from functools import cache

from django.db import models
from django.utils.translation import gettext as _

from jobs.models.procedures import Flag, Operation, Procedure, Stage
from jobs.procedures.file.checkpoints import read_checkpoint
from jobs.procedures.file.cradle import check_cradle
from jobs.procedures.file.data import CautionData, CheckpointData, OperationData, ProcedureData
from jobs.procedures.file.fields import Faults, Fields
from jobs.procedures.file.handover import read_handover
from jobs.procedures.file.holes import read_holes
from jobs.procedures.file.layout import read_layout
from jobs.procedures.yaml_text import Table
from shop.models import Skill
from shop.revisions import REVISION

FORMAT = "1"
OPERATION_CODE = re.compile(r"[A-Z][0-9]{1,4}")
PROCEDURE_CODE = re.compile(r"[A-Z0-9][A-Z0-9._-]{0,29}")
SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
MOST_OPERATIONS = 300
MOST_MINUTES = 10_000
LONGEST_NOTE = 4000
LONGEST_STEP = 600
LONGEST_THING = 160

FILE_KEYS = ("format", "procedure", "layout", "operations", "handover")
PROCEDURE_KEYS = ("code", "name", "revision", "kit", "vehicle_family", "note")
OPERATION_KEYS = (
    "code",
    "stage",
    "title",
    "minutes",
    "skill",
    "gates",
    "after",
    "hold_point",
    "steps",
    "tools",
    "consumables",
    "cautions",
    "bay_features",
    "holes",
    "checkpoints",
)


@cache
def longest(model: type[models.Model], field: str) -> int:
    return int(getattr(model._meta.get_field(field), "max_length", 0))


def read_file(root: Table, faults: Faults) -> ProcedureData:
    """What the file says; what is wrong with it is added to `faults`."""
    fields = Fields(root, "", faults)
    fields.refuse_unknown(FILE_KEYS)
    if fields.choice("format", (FORMAT,), required=True) != FORMAT:
        return ProcedureData("", "", "", "", "")
    head = _read_head(fields.table_of("procedure", required=True), faults)
    table = fields.table_of("layout")
    check_cradle(table, faults)
    layout = read_layout(table, faults)
    operations: list[OperationData] = []
    tables = fields.tables("operations", required=True, longest=MOST_OPERATIONS)
    for number, table in enumerate(tables, start=1):
        before = operations[-1].code if operations else ""
        operations.append(read_operation(table, number=number, before=before, faults=faults))
    return ProcedureData(
        **head,
        layout=layout,
        operations=tuple(operations),
        handover=read_handover(fields.table_of("handover"), SIGNALS, faults),
        lines=root.key_lines | _lines_of(root, "procedure"),
    )


def _lines_of(root: Table, key: str) -> dict[str, int]:
    table = root.values.get(key)
    return table.key_lines if isinstance(table, Table) else {}


def _read_head(table: Table | None, faults: Faults) -> dict[str, str]:
    if table is None:
        return dict.fromkeys(("code", "name", "revision", "kit", "vehicle_family"), "")
    fields = Fields(table, "procedure", faults)
    fields.refuse_unknown(PROCEDURE_KEYS)
    return {
        "code": fields.code("code", PROCEDURE_CODE, "FC-210"),
        "name": fields.text("name", longest=longest(Procedure, "name"), required=True),
        "revision": fields.code("revision", REVISION, "B"),
        "kit": fields.code("kit", PROCEDURE_CODE, "KIT-210"),
        "vehicle_family": fields.text(
            "vehicle_family", longest=longest(Procedure, "vehicle_family"), required=True
        ),
        "note": fields.paragraphs("note", longest=LONGEST_NOTE),
    }


def read_operation(table: Table, *, number: int, before: str, faults: Faults) -> OperationData:
    """One operation with its checkpoints."""
    fallback = _("operation %(number)d") % {"number": number}
    fields = Fields(table, fallback, faults)
    code = fields.code("code", OPERATION_CODE, "T40")
    fields.name = code or fallback
    fields.refuse_unknown(OPERATION_KEYS)
    return OperationData(
        code=code,
        stage=fields.choice("stage", Stage.values, required=True),
        title=fields.text("title", longest=longest(Operation, "title"), required=True),
        minutes=fields.whole("minutes", low=1, high=MOST_MINUTES, required=True) or 0,
        skill=fields.choice("skill", Skill.values, required=True),
        gates=fields.words("gates", Flag.values),
        after=_read_after(fields, before),
        is_hold_point=fields.yes_no("hold_point"),
        steps=fields.texts("steps", longest=LONGEST_STEP, required=True),
        tools=fields.texts("tools", longest=LONGEST_THING),
        consumables=fields.texts("consumables", longest=LONGEST_THING),
        cautions=_read_cautions(fields, faults),
        bay_features=fields.texts("bay_features", longest=LONGEST_THING),
        holes=read_holes(fields, faults),
        checkpoints=_read_checkpoints(fields, code or fallback, faults),
        line=table.line,
        lines=table.key_lines,
    )


def _read_after(fields: Fields, before: str) -> tuple[str, ...]:
    """The operations named in `after`; the one before in the file where nothing is said."""
    if fields.has("after"):
        return fields.texts("after", longest=longest(Operation, "code"))
    return (before,) if before else ()


def _read_cautions(fields: Fields, faults: Faults) -> tuple[CautionData, ...]:
    cautions = []
    for number, table in enumerate(fields.tables("cautions"), start=1):
        name = _("%(operation)s caution %(number)d") % {"operation": fields.name, "number": number}
        inner = Fields(table, name, faults)
        inner.refuse_unknown(("signal", "text"))
        signal = inner.choice("signal", SIGNALS, required=True)
        cautions.append(CautionData(signal, inner.text("text", longest=LONGEST_STEP, required=True)))
    return tuple(cautions)


def _read_checkpoints(fields: Fields, operation: str, faults: Faults) -> tuple[CheckpointData, ...]:
    tables = fields.tables("checkpoints")
    return tuple(
        read_checkpoint(table, operation=operation, number=number, faults=faults)
        for number, table in enumerate(tables, start=1)
    )

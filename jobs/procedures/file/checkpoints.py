"""Reading one checkpoint of a file."""

import re
from functools import cache
from typing import Any

from django.utils.translation import gettext as _

from jobs.models.procedures import Checkpoint, CheckpointKind, Joint, Proves
from jobs.procedures.file.bolts import check_bolt
from jobs.procedures.file.data import CheckpointData
from jobs.procedures.file.fields import Faults, Fields
from jobs.procedures.file.joints import check_joint
from jobs.procedures.file.kinds import EVERY_KEY, KEYS, kinds_with
from jobs.procedures.yaml_text import Table
from shop.models import InstrumentKind

SIDES = ("left", "right", "both")
SINGLE_USE = "single use"
JOINTS = tuple(word for word in Joint.values if word)
LONGEST_CRITERION = 300
MOST_COUNTED = 9999
MOST_IN_PATTERN = 40
LONGEST_PASS = 30


@cache
def longest(field: str) -> int:
    """How long a text of a checkpoint may be."""
    return int(getattr(Checkpoint._meta.get_field(field), "max_length", 0))


def read_checkpoint(table: Table, *, operation: str, number: int, faults: Faults) -> CheckpointData:
    """One checkpoint; what is wrong with it is added to `faults`."""
    fallback = _("checkpoint %(number)d of %(operation)s") % {"number": number, "operation": operation}
    fields = Fields(table, fallback, faults)
    code = fields.code("code", _code_pattern(operation), f"{operation or 'T40'}.1")
    fields.name = code or fallback
    kind = fields.choice("kind", CheckpointKind.values, required=True)
    _check_keys(fields, kind)
    if not code or not kind:
        return CheckpointData(code, kind, fields.text("title", longest=longest("title"), required=True))
    check_bolt(fields)
    check_joint(fields)
    return CheckpointData(
        code=code,
        kind=kind,
        title=fields.text("title", longest=longest("title"), required=True),
        side=fields.choice("side", SIDES),
        limit=fields.text("limit", longest=longest("limit")),
        records=fields.text("records", longest=longest("records")),
        equal=fields.text("equal", longest=longest("equal")),
        angle=fields.text("angle", longest=longest("angle")),
        instrument=fields.choice("instrument", InstrumentKind.values),
        angle_instrument=fields.choice("angle_instrument", InstrumentKind.values),
        proves=fields.words("proves", Proves.values),
        made_in=fields.text("made_in", longest=longest("made_in")),
        criteria=fields.texts("criteria", longest=LONGEST_CRITERION),
        count=fields.whole("count", low=1, high=MOST_COUNTED),
        go=fields.text("go", longest=longest("go")),
        shows=fields.text("shows", longest=longest("shows")),
        witness_of=fields.text("of", longest=longest("witness_of")),
        agree=fields.text("agree", longest=longest("agree")),
        **_joint(fields),
        mark=fields.text("mark", longest=longest("mark")),
        line=table.line,
        lines=table.key_lines,
    )


JOINT_TEXTS = ("lubricant", "thread", "grade", "grip", "castle_nut", "prevailing", "lowered_from")


def _joint(fields: Fields) -> dict[str, Any]:
    """What a checkpoint says of the joint that it tightens."""
    return {
        **{key: fields.text(key, longest=longest(key)) for key in JOINT_TEXTS},
        "joint": fields.choice("joint", JOINTS),
        "pattern": fields.whole("pattern", low=2, high=MOST_IN_PATTERN),
        "passes": fields.texts("passes", longest=LONGEST_PASS),
        "is_single_use": bool(fields.choice("hardware", (SINGLE_USE,))),
        "at_ride_height": fields.yes_no("at_ride_height"),
    }


def _code_pattern(operation: str) -> re.Pattern[str]:
    start = re.escape(operation) if operation else "[A-Z][0-9]{1,4}"
    return re.compile(start + r"\.[0-9]{1,3}")


def _check_keys(fields: Fields, kind: str) -> None:
    """Unknown keys, keys of other kinds, keys that are missing."""
    fields.refuse_unknown(EVERY_KEY)
    if not kind:
        return
    keys = KEYS[kind]
    for key in fields.table.values:
        if key in EVERY_KEY and key not in keys.all:
            message = _("does not belong to a checkpoint of kind %(kind)s; it belongs to: %(kinds)s")
            fields.fault(key, message % {"kind": kind, "kinds": ", ".join(kinds_with(key))})
    for key in keys.required:
        if not fields.has(key):
            fields.fault(key, _("is missing; a checkpoint of kind %(kind)s needs it") % {"kind": kind})
    _check_either(fields, kind, keys.either)


def _check_either(fields: Fields, kind: str, either: tuple[str, ...]) -> None:
    given = [key for key in fields.table.values if key in either]
    names = {"kind": kind, "words": _(" or ").join(either)}
    if either and not given:
        fields.fault("", _("a checkpoint of kind %(kind)s needs one of: %(words)s") % names)
    if len(given) > 1:
        fields.fault(given[-1], _("only one of these may stand here: %(words)s") % names)

"""The trade's words for the fields of a procedure and what stands in them; unknown ones keep their own."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from django.db import models
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.models.procedures import (
    Checkpoint,
    CheckpointKind,
    Flag,
    Joint,
    Operation,
    Procedure,
    ProcedureRevision,
    Proves,
    Stage,
)
from shop.models import InstrumentKind, Skill

# What a field of the file is called in the row that keeps it, where the two differ.
ROW_NAMES = {
    "minutes": "standard_minutes",
    "gates": "flags",
    "instrument": "instrument_kind",
    "angle_instrument": "angle_instrument_kind",
    "hold_point": "is_hold_point",
    "hardware": "is_single_use",
    "kit": "kit_code",
    "of": "witness_of",
}
OWN_LABELS = {
    "checkpoints": gettext_lazy("checkpoints"),
    "handover": gettext_lazy("told at handover"),
    "code": gettext_lazy("code"),
    "signal": gettext_lazy("signal word"),
    "text": gettext_lazy("text"),
    "what": gettext_lazy("what"),
    "come_back": gettext_lazy("to come back for"),
}
CHOICES: Mapping[str, type[models.TextChoices]] = {
    "stage": Stage,
    "skill": Skill,
    "gates": Flag,
    "kind": CheckpointKind,
    "joint": Joint,
    "instrument": InstrumentKind,
    "angle_instrument": InstrumentKind,
    "proves": Proves,
}
ROWS = (Checkpoint, Operation, ProcedureRevision, Procedure)


def field_label(key: str, *rows: type[models.Model]) -> str:
    """What a field is called; the key itself, without underscores, where nobody named it."""
    if key in OWN_LABELS:
        return str(OWN_LABELS[key])
    name = ROW_NAMES.get(key, key)
    for row in rows or ROWS:
        known = {field.name: field for field in row._meta.concrete_fields}
        if name in known:
            return str(known[name].verbose_name)
    return key.replace("_", " ")


def value_lines(key: str, value: Any) -> tuple[str, ...]:
    """What stands in a field, in one line or several; nothing where it is empty."""
    return tuple(line for line in _lines(key, value) if line)


def _lines(key: str, value: Any) -> Iterator[str]:
    if isinstance(value, bool):
        yield _("yes") if value else _("no")
    elif value is None:
        return
    elif is_dataclass(value) and not isinstance(value, type):
        yield from _of_table(key, {f.name: getattr(value, f.name) for f in fields(value) if f.compare})
    elif isinstance(value, Mapping):
        yield from _of_table(key, value)
    elif isinstance(value, list | tuple):
        for item in value:
            yield " · ".join(_lines(key, item))
    else:
        yield from _word(key, str(value)).splitlines()


def _of_table(key: str, table: Mapping[str, Any]) -> Iterator[str]:
    if set(table) == {"signal", "text"}:
        yield f"{table['signal']}: {table['text']}"
        return
    for name, value in table.items():
        for line in _lines(name, value):
            yield f"{field_label(name)}: {line}"


def _word(key: str, value: str) -> str:
    choices = CHOICES.get(key)
    return str(choices(value).label) if choices and value in choices.values else value

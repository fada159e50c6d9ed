"""What is keyed and chosen at a checkpoint, in the units of whoever reads."""

from collections.abc import Mapping

from django.utils.translation import gettext as _

from jobs.bay.joint_panel import joint_fields, with_joint_fields
from jobs.bay.panel_fields import Choose, ReadingField, Typed
from jobs.bay.position_panel import position_fields
from jobs.judging.weld_panel import weld_asked
from jobs.models import Checkpoint, CheckpointKind
from shop.engineering.limits import Limits
from shop.engineering.limits.shown import ReadAs

READINGS: Mapping[str, tuple[tuple[str, str], ...]] = {
    CheckpointKind.DIMENSION: (("value", "Reading"),),
    CheckpointKind.PAIR: (("left", "Left"), ("right", "Right")),
    CheckpointKind.TORQUE: (("value", "Set or shown"),),
    CheckpointKind.TORQUE_ANGLE: (("value", "Set or shown"), ("angle", "Turned by")),
    CheckpointKind.COUNT: (("count", "Counted"),),
}


def readings_at(
    checkpoint: Checkpoint, limits: Limits | None, angle: Limits | None, typed: Typed, reader: ReadAs
) -> tuple[ReadingField, ...]:
    """What is keyed at a checkpoint, in the units of whoever reads."""
    if checkpoint.kind == CheckpointKind.POSITION:
        return position_fields(checkpoint, typed.values, typed.errors)
    fields, main = [], limits.unit if limits else checkpoint.records
    for name, label in READINGS.get(checkpoint.kind, ()):
        unit = angle.unit if name == "angle" and angle is not None else main
        fields.append(_field(name, _(label), "" if name == "count" else unit, typed, reader))
    more = [_field(name, label, unit, typed, reader) for name, label, unit in joint_fields(checkpoint, main)]
    return with_joint_fields(tuple(fields), more)


def _field(name: str, label: str, asked: str, typed: Typed, reader: ReadAs) -> ReadingField:
    """A field in the reader's unit; another than the instruction's goes along with what is keyed."""
    unit = reader.unit_for(asked) if asked else ""
    return ReadingField(
        name=f"p_{name}",
        label=label,
        unit=unit,
        kind="whole" if name == "count" else ("inch" if unit == "in" and not reader.decimal else "decimal"),
        own_unit="" if unit == asked else unit,
        value=typed.values.get(name, ""),
        error=typed.errors.get(name, ""),
        id=f"{typed.code}-{name}",
        signed=unit in {"°", "deg"} and name != "slot",
    )


def choices_at(checkpoint: Checkpoint, typed: Typed) -> tuple[Choose, ...]:
    """What is chosen at a fit or a weld: one of two words each."""
    if checkpoint.kind == CheckpointKind.FIT:
        asked = [("go", checkpoint.go, _("Passes"), _("Does not pass"))]
    elif checkpoint.kind == CheckpointKind.WELD:
        asked = weld_asked(checkpoint)
    else:
        asked = []
    return tuple(
        Choose(f"p_{name}", label, yes, no, typed.values.get(name, ""), typed.errors.get(name, ""))
        for name, label, yes, no in asked
    )

"""Between a procedure's file and its rows: what was brought in reads back as the same data."""

from collections.abc import Mapping
from typing import Any

from jobs.judging.weld_map import part_of_map
from jobs.models.procedures import Checkpoint, CheckpointKind, Operation, ProcedureRevision
from jobs.procedures.file.data import CautionData, CheckpointData, OperationData, ProcedureData
from jobs.procedures.file.handover import of_kept
from jobs.procedures.file.holes import hole_as_kept, hole_of_kept


def save_operations(data: ProcedureData, revision: ProcedureRevision) -> list[Operation | Checkpoint]:
    """Save the operations and checkpoints of a draft; returns them all."""
    operations = Operation.objects.bulk_create(
        [_operation_row(o, revision, position) for position, o in enumerate(data.operations, start=1)]
    )
    checkpoints = Checkpoint.objects.bulk_create(
        [
            _checkpoint_row(c, row, position, data.layout)
            for row, operation in zip(operations, data.operations, strict=True)
            for position, c in enumerate(operation.checkpoints, start=1)
        ]
    )
    return [*operations, *checkpoints]


def data_of(revision: ProcedureRevision) -> ProcedureData:
    """What a revision says, in three queries."""
    rows = revision.operations.order_by("position").prefetch_related("checkpoints")
    return ProcedureData(
        code=revision.procedure.code,
        name=revision.procedure.name,
        revision=revision.revision,
        kit=revision.procedure.kit_code,
        vehicle_family=revision.procedure.vehicle_family,
        note=revision.note,
        layout=revision.layout,
        handover=of_kept(revision.handover),
        operations=tuple(_operation_data(row) for row in rows),
    )


def _operation_row(operation: OperationData, revision: ProcedureRevision, position: int) -> Operation:
    return Operation(
        revision=revision,
        position=position,
        code=operation.code,
        stage=operation.stage,
        title=operation.title,
        standard_minutes=operation.minutes,
        skill=operation.skill,
        flags=list(operation.gates),
        after=list(operation.after),
        is_hold_point=operation.is_hold_point,
        steps=list(operation.steps),
        tools=list(operation.tools),
        consumables=list(operation.consumables),
        cautions=[{"signal": c.signal, "text": c.text} for c in operation.cautions],
        bay_features=list(operation.bay_features),
        holes=[hole_as_kept(hole) for hole in operation.holes],
    )


def _operation_data(row: Operation) -> OperationData:
    return OperationData(
        code=row.code,
        stage=row.stage,
        title=row.title,
        minutes=row.standard_minutes,
        skill=row.skill,
        gates=tuple(row.flags),
        after=tuple(row.after),
        is_hold_point=row.is_hold_point,
        steps=tuple(row.steps),
        tools=tuple(row.tools),
        consumables=tuple(row.consumables),
        cautions=tuple(CautionData(c["signal"], c["text"]) for c in row.cautions),
        bay_features=tuple(row.bay_features),
        holes=tuple(hole_of_kept(kept) for kept in row.holes),
        checkpoints=tuple(_checkpoint_data(c) for c in row.checkpoints.all()),
    )


def _frame(checkpoint: CheckpointData, layout: Mapping[str, Any]) -> Any:
    """What a checkpoint carries of the layout, so that it is judged without looking there."""
    if checkpoint.kind == CheckpointKind.POSITION:
        return layout.get("cradle", {})
    return part_of_map(layout, checkpoint.code) if checkpoint.kind == CheckpointKind.WELD else {}


def _checkpoint_row(
    checkpoint: CheckpointData, operation: Operation, position: int, layout: Mapping[str, Any]
) -> Checkpoint:
    return Checkpoint(
        operation=operation,
        position=position,
        code=checkpoint.code,
        kind=checkpoint.kind,
        title=checkpoint.title,
        side=checkpoint.side,
        limit=checkpoint.limit,
        records=checkpoint.records,
        equal=checkpoint.equal,
        angle=checkpoint.angle,
        instrument_kind=checkpoint.instrument,
        angle_instrument_kind=checkpoint.angle_instrument,
        proves=list(checkpoint.proves),
        joint=checkpoint.joint,
        lubricant=checkpoint.lubricant,
        thread=checkpoint.thread,
        grade=checkpoint.grade,
        grip=checkpoint.grip,
        castle_nut=checkpoint.castle_nut,
        prevailing=checkpoint.prevailing,
        pattern=checkpoint.pattern,
        passes=list(checkpoint.passes),
        lowered_from=checkpoint.lowered_from,
        is_single_use=checkpoint.is_single_use,
        at_ride_height=checkpoint.at_ride_height,
        made_in=checkpoint.made_in,
        criteria=list(checkpoint.criteria),
        count=checkpoint.count,
        go=checkpoint.go,
        shows=checkpoint.shows,
        witness_of=checkpoint.witness_of,
        agree=checkpoint.agree,
        frame=_frame(checkpoint, layout),
        mark=checkpoint.mark,
    )


def _checkpoint_data(row: Checkpoint) -> CheckpointData:
    return CheckpointData(
        code=row.code,
        kind=row.kind,
        title=row.title,
        side=row.side,
        limit=row.limit,
        records=row.records,
        equal=row.equal,
        angle=row.angle,
        instrument=row.instrument_kind,
        angle_instrument=row.angle_instrument_kind,
        proves=tuple(row.proves),
        joint=row.joint,
        lubricant=row.lubricant,
        thread=row.thread,
        grade=row.grade,
        grip=row.grip,
        castle_nut=row.castle_nut,
        prevailing=row.prevailing,
        pattern=row.pattern,
        passes=tuple(row.passes),
        lowered_from=row.lowered_from,
        is_single_use=row.is_single_use,
        at_ride_height=row.at_ride_height,
        made_in=row.made_in,
        criteria=tuple(row.criteria),
        count=row.count,
        go=row.go,
        shows=row.shows,
        witness_of=row.witness_of,
        agree=row.agree,
        mark=row.mark,
    )

"""What a procedure file refers to: codes that must exist, be unique and come before."""

from django.utils.translation import gettext as _

from jobs.models.procedures import CheckpointKind, Proves
from jobs.procedures.file.data import CheckpointData, OperationData, ProcedureData
from jobs.procedures.file.fields import Faults, did_you_mean, shown

# What a second person can read again.
WITNESSED = frozenset(
    {
        *(CheckpointKind.DIMENSION, CheckpointKind.PAIR, CheckpointKind.TORQUE),
        *(CheckpointKind.MARK, CheckpointKind.POSITION),
    }
)


def check_references(data: ProcedureData, faults: Faults) -> None:
    """Every code that is referred to exists and comes early enough."""
    _check_repeated(data, faults)
    places = {o.code: number for number, o in enumerate(data.operations) if o.code}
    for number, operation in enumerate(data.operations):
        _check_after(operation, number, places, faults)
        for checkpoint in operation.checkpoints:
            _check_made_in(checkpoint, number, places, faults)
    _check_witnesses(data, faults)
    _check_what_proves(data, faults)
    _check_holes(data, faults)


def _check_repeated(data: ProcedureData, faults: Faults) -> None:
    first: dict[str, int] = {}
    items: list[OperationData | CheckpointData] = [*data.operations]
    items += [checkpoint for _operation, checkpoint in data.checkpoints()]
    for item in items:
        if item.code in first and item.code:
            message = _("stands twice; first on line %(line)d") % {"line": first[item.code]}
            faults.add(item.line_of("code"), item.code, message)
        first.setdefault(item.code, item.line_of("code"))


def _check_after(operation: OperationData, number: int, places: dict[str, int], faults: Faults) -> None:
    for code in operation.after:
        message = _earlier(code, number, places)
        if message:
            faults.add(operation.line_of("after"), f"{operation.code} after", message)


def _check_made_in(checkpoint: CheckpointData, number: int, places: dict[str, int], faults: Faults) -> None:
    """A weld is made in an earlier operation or in its own."""
    if checkpoint.made_in and places.get(checkpoint.made_in) != number:
        message = _earlier(checkpoint.made_in, number, places)
        if message:
            faults.add(checkpoint.line_of("made_in"), f"{checkpoint.code} made_in", message)


def _earlier(code: str, number: int, places: dict[str, int]) -> str:
    """What is wrong with a reference to an earlier operation, or nothing."""
    if code not in places:
        message = _("there is no operation “%(code)s”%(meant)s")
        return message % {"code": shown(code), "meant": did_you_mean(code, places)}
    if places[code] >= number:
        return _("%(code)s does not come before it") % {"code": code}
    return ""


def _check_witnesses(data: ProcedureData, faults: Faults) -> None:
    """A witness reads again what was read before, and is no witness of a witness."""
    before: dict[str, CheckpointData] = {}
    everywhere = {checkpoint.code for _operation, checkpoint in data.checkpoints()}
    for _operation, checkpoint in data.checkpoints():
        if checkpoint.kind == CheckpointKind.WITNESS and checkpoint.witness_of:
            message = _wrong_witness(checkpoint, before, everywhere)
            if message:
                faults.add(checkpoint.line_of("of"), f"{checkpoint.code} of", message)
        before[checkpoint.code] = checkpoint


def _wrong_witness(witness: CheckpointData, before: dict[str, CheckpointData], everywhere: set[str]) -> str:
    code = witness.witness_of
    if code not in everywhere:
        message = _("there is no checkpoint “%(code)s”%(meant)s")
        return message % {"code": shown(code), "meant": did_you_mean(code, everywhere)}
    if code not in before:
        return _("%(code)s does not come before it") % {"code": code}
    if before[code].kind not in WITNESSED:
        message = _("%(code)s (%(kind)s) has no reading to take again; a witness reads: %(kinds)s")
        kinds = ", ".join(sorted(WITNESSED))
        return message % {"code": code, "kind": before[code].kind, "kinds": kinds}
    return ""


def _check_what_proves(data: ProcedureData, faults: Faults) -> None:
    """Marks are read again by a witness only, and welds are inspected by a weld checkpoint only."""
    needs = {
        Proves.MARKS_WITNESS: CheckpointKind.WITNESS,
        Proves.WELD_INSPECTION: CheckpointKind.WELD,
    }
    for _operation, checkpoint in data.checkpoints():
        for word, kind in needs.items():
            if word in checkpoint.proves and checkpoint.kind and checkpoint.kind != kind:
                message = _("only a checkpoint of kind %(kind)s can prove %(word)s")
                faults.add(
                    checkpoint.line_of("proves"),
                    f"{checkpoint.code} proves",
                    message % {"kind": str(kind), "word": str(word)},
                )


# Where a hole, the error of its position and its distance from the edge may be read.
HOLE_READINGS = frozenset({CheckpointKind.DIMENSION, CheckpointKind.PAIR})


def _check_holes(data: ProcedureData, faults: Faults) -> None:
    """The checkpoints at which a hole is measured exist and read a length."""
    known = {checkpoint.code: checkpoint for _operation, checkpoint in data.checkpoints()}
    for operation in data.operations:
        for hole in operation.holes:
            for key in ("measured", "offset", "edge_measured"):
                code = getattr(hole, key)
                name = f"{operation.code} {hole.name} {key}"
                if code and code not in known:
                    message = _("there is no checkpoint “%(code)s”%(meant)s")
                    parts = {"code": shown(code), "meant": did_you_mean(code, known)}
                    faults.add(hole.lines.get(key), name, message % parts)
                elif code and known[code].kind not in HOLE_READINGS:
                    message = _("%(code)s measures nothing")
                    faults.add(hole.lines.get(key), name, message % {"code": code})

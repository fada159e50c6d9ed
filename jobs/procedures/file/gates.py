"""Whether the gates of a procedure can ever open: what each asks must be proved by something before it."""

from collections.abc import Iterator

from django.utils.translation import gettext as _

from jobs.gates.needs import JOINTS_OF, NEEDS, PROVED_INSIDE
from jobs.models.procedures import CheckpointKind, Flag, Proves
from jobs.procedures.file.data import CheckpointData, OperationData, ProcedureData
from jobs.procedures.file.fields import Faults
from jobs.procedures.file.remarks import Remark


def check_gates(data: ProcedureData, faults: Faults) -> None:
    """Refuse a gate that has nothing before it which proves what it asks."""
    proved: set[str] = set()
    for operation in data.operations:
        for flag, needs in NEEDS.items():
            if flag in operation.gates:
                known = _proved_inside(operation) if flag in PROVED_INSIDE else proved
                _check_gate(operation, flag, [need for need in needs if need not in known], faults)
        _check_permits_first(operation, faults)
        proved |= _proved_inside(operation)


def _proved_inside(operation: OperationData) -> set[str]:
    return {word for checkpoint in operation.checkpoints for word in checkpoint.proves}


def _check_gate(operation: OperationData, flag: Flag, missing: list[Proves], faults: Faults) -> None:
    for need in missing:
        if flag in PROVED_INSIDE:
            message = _("nothing in this operation proves %(need)s (%(words)s), which %(flag)s asks for")
        else:
            message = _("nothing before it proves %(need)s (%(words)s), which %(flag)s asks for")
        parts = {"need": str(need), "words": need.label, "flag": str(flag)}
        faults.add(operation.line_of("gates"), f"{operation.code} gates", message % parts)


def _check_permits_first(operation: OperationData, faults: Faults) -> None:
    """Permit checks are recorded before the work that they allow."""
    work_began = ""
    for checkpoint in operation.checkpoints:
        if Proves.PERMIT not in checkpoint.proves:
            work_began = work_began or checkpoint.code
        elif work_began:
            message = _("a permit check comes before the work; put it above %(code)s")
            faults.add(checkpoint.line, checkpoint.code, message % {"code": work_began})


def check_hot_work(data: ProcedureData, faults: Faults) -> None:
    """Sparks that nobody would watch, finish welds that nobody would judge."""
    judged = {c.made_in for _o, c in data.checkpoints() if c.kind == CheckpointKind.WELD}
    for number, operation in enumerate(data.operations):
        at = operation.line_of("gates"), f"{operation.code} gates"
        after = {word for later in data.operations[number:] for word in _proved_inside(later)}
        if Flag.HOT_WORK in operation.gates and Proves.FIRE_WATCH not in after:
            message = _("nobody watches after the sparks: a checkpoint in it proves fire_watch")
            faults.add(*at, message)
        if Flag.FINISH_WELD in operation.gates and operation.code not in judged:
            message = _("nobody judges its welds: a checkpoint of kind weld has made_in: %(code)s")
            faults.add(*at, message % {"code": operation.code})


def gate_remarks(data: ProcedureData) -> Iterator[Remark]:
    """Sparks watched only in a later operation; joints tightened only when a gate has let the car by."""
    passed: dict[str, str] = {}
    for operation in data.operations:
        inside = _proved_inside(operation)
        if Flag.HOT_WORK in operation.gates and Proves.FIRE_WATCH not in inside:
            message = _(
                "its sparks are watched in a later operation only; each session has a watch of its own"
            )
            yield Remark(operation.line_of("gates"), f"{operation.code} gates", message)
        for checkpoint in operation.checkpoints:
            before = "" if checkpoint.at_ride_height else passed.get(Flag.ONTO_WHEELS, "")
            yield from _late_joint(checkpoint, Flag.ONTO_WHEELS, before)
            yield from _late_joint(checkpoint, Flag.DRIVEN, passed.get(Flag.DRIVEN, ""))
        passed = {**dict.fromkeys(operation.gates, operation.code), **passed}


def _late_joint(checkpoint: CheckpointData, flag: Flag, before: str) -> Iterator[Remark]:
    if before and checkpoint.joint in JOINTS_OF[flag]:
        message = _("is tightened after %(before)s (%(what)s), whose gate does not ask for it")
        words = {"before": before, "what": flag.label}
        yield Remark(checkpoint.line, checkpoint.code, message % words)

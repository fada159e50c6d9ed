"""Whether the gates of a procedure can ever open: what each asks must be proved by something before it."""

from django.utils.translation import gettext as _

from jobs.gates.needs import NEEDS, PROVED_INSIDE
from jobs.models.procedures import Flag, Proves
from jobs.procedures.file.data import OperationData, ProcedureData
from jobs.procedures.file.fields import Faults


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

"""The weld map of a layout in a file: every weld placed, made in one operation, looked at in a later one."""

from django.utils.translation import gettext as _

from jobs.judging.questions import said
from jobs.judging.weld_map import MappedWeld, read_welds
from jobs.models.procedures import CheckpointKind, Flag
from jobs.procedures.file.data import ProcedureData
from jobs.procedures.file.fields import Faults
from shop.engineering.quantities import QuantityError

KEY = "weld_map"


def check_weld_map(data: ProcedureData, faults: Faults) -> None:
    """Add to the faults what is wrong with the weld map."""
    kept = data.layout.get(KEY)
    if kept is None:
        return
    line = data.lines.get("layout")
    if not isinstance(kept, dict):
        faults.add(line, KEY, _("must hold keys of its own, each on a line"))
        return
    try:
        welds = read_welds(kept)
    except QuantityError as error:
        faults.add(line, KEY, said(error))
        return
    for weld in welds:
        for message in _faults_of(data, weld):
            faults.add(line, f"{KEY} {weld.code}", message)


def _faults_of(data: ProcedureData, weld: MappedWeld) -> list[str]:
    found, operations = [], {o.code: o for o in data.operations}
    for key, code in (("made_in", weld.made_in), ("tacked_in", weld.tacked_in)):
        operation = operations.get(code)
        if code and (operation is None or Flag.HOT_WORK not in operation.gates):
            found.append(_("%(key)s: %(code)s is no operation with hot work") % {"key": key, "code": code})
    checkpoint = next((c for _o, c in data.checkpoints() if c.code == weld.inspected_at), None)
    if checkpoint is None or checkpoint.kind != CheckpointKind.WELD:
        found.append(
            _("inspected_at: %(code)s is no checkpoint at which welds are judged")
            % {"code": weld.inspected_at}
        )
    elif checkpoint.made_in != weld.made_in:
        parts = {"code": weld.inspected_at, "made_in": checkpoint.made_in}
        found.append(_("inspected_at: %(code)s judges the welds of %(made_in)s") % parts)
    return found

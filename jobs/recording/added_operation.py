"""Reading an operation that a lead adds, field by field, by the same rules as one of a procedure file."""

from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.models import CheckpointKind, Flag, Joint, Proves
from jobs.procedures.file.data import OperationData, ProcedureData
from jobs.procedures.file.fields import Faults
from jobs.procedures.file.limits import check_limits
from jobs.procedures.file.reading import read_operation
from jobs.procedures.yaml_text import Listing, Node, Table, Text
from jobs.recording.work import Work
from shop.file_errors import FileError, FileErrors

MOST_CHECKPOINTS = 4
# What the one field “what is asked” is called in a file, by the kind of checkpoint.
ASKS = {
    CheckpointKind.DIMENSION: "limit",
    CheckpointKind.TORQUE: "limit",
    CheckpointKind.COUNT: "count",
    CheckpointKind.FIT: "go",
    CheckpointKind.PHOTO: "shows",
}
LINE = 1


def read_added(work: Work, *, code: str) -> OperationData:
    """The operation as it was typed.

    Raises:
        BadInput: with a message for each field.
    """
    faults = Faults()
    try:
        operation = read_operation(_table(work, code), number=1, before="", faults=faults)
        check_limits(ProcedureData("", "", "", "", "", operations=(operation,)), work.record.settings, faults)
    except FileErrors as errors:
        raise BadInput(_by_field(code, list(errors.errors))) from errors
    if faults.errors:
        raise BadInput(_by_field(code, faults.in_order()))
    judged = any(c.kind == CheckpointKind.WELD for c in operation.checkpoints)
    if Flag.FINISH_WELD in operation.gates and not judged:
        raise BadInput({"c1_kind": _("A finish weld is judged by somebody else: add a weld to be judged")})
    return operation


def _table(work: Work, code: str) -> Table:
    typed = work.payload
    steps = [line.strip() for line in str(typed.get("steps", "")).splitlines() if line.strip()]
    values: dict[str, Node] = {"code": _text(code), "after": _list([])}
    for name in ("stage", "title", "minutes", "skill"):
        if str(typed.get(name, "")).strip():
            values[name] = _text(str(typed[name]).strip())
    values["steps"] = _list([_text(step) for step in steps])
    flags = [flag for flag in Flag.values if typed.get(f"flag_{flag}") == "yes"]
    values["gates"] = _list([_text(flag) for flag in flags])
    caution = str(typed.get("caution", "")).strip()
    if caution:
        said = {"signal": _text(str(typed.get("caution_signal", "")).strip()), "text": _text(caution)}
        values["cautions"] = _list([Table(dict(said), LINE, dict.fromkeys(said, LINE))])
    values["checkpoints"] = _list(
        [
            _checkpoint(typed, code, n)
            for n in range(1, MOST_CHECKPOINTS + 1)
            if str(typed.get(f"c{n}_kind", "")).strip()
        ]
    )
    return Table(values, LINE, dict.fromkeys(values, LINE))


def _checkpoint(typed: Any, code: str, n: int) -> Table:
    def given(name: str) -> str:
        return str(typed.get(f"c{n}_{name}", "")).strip()

    kind = given("kind")
    values: dict[str, Node] = {"code": _text(f"{code}.{n}"), "kind": _text(kind)}
    pairs = {"title": given("title"), "instrument": given("instrument")}
    if kind in ASKS:
        pairs[ASKS[CheckpointKind(kind)]] = given("asks")
    if kind == CheckpointKind.TORQUE:
        pairs["joint"] = given("joint") or Joint.OTHER
    if kind == CheckpointKind.WELD:
        pairs |= {"made_in": code, "joint": Joint.STRUCTURE}
        values["proves"] = _list([_text(Proves.WELD_INSPECTION)])
        values["criteria"] = _list([_text(each.strip()) for each in given("asks").split(";") if each.strip()])
    values |= {name: _text(value) for name, value in pairs.items() if value}
    return Table(values, LINE, dict.fromkeys(values, LINE))


def _by_field(code: str, errors: list[FileError]) -> dict[str, str]:
    """Faults of the file's names at the fields of the form."""
    found: dict[str, str] = {}
    for error in errors:
        where, _blank, key = error.name.partition(" ")
        number = where.removeprefix(f"{code}.") if where.startswith(f"{code}.") else ""
        key = "caution" if key.startswith("caution") else key
        name = f"c{number}_{_field_of(key)}" if number else (key or "title")
        words = (
            f"{key} {error.message}"
            if number and key not in {"title", "kind", "instrument"}
            else error.message
        )
        found[name] = f"{found[name]}; {words}" if name in found else words
    return found or {"title": _("This is no operation")}


def _field_of(key: str) -> str:
    return key if key in {"kind", "title", "instrument", "joint"} else "asks"


def _text(value: str) -> Text:
    return Text(value, LINE)


def _list(items: list[Any]) -> Listing:
    return Listing(tuple(items), LINE)

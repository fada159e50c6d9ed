"""Writing a procedure as its file, in one canonical form: the same content is always the same text."""

from collections.abc import Iterable, Iterator
from typing import Any

import yaml

from jobs.procedures.file.checkpoints import SINGLE_USE
from jobs.procedures.file.data import CheckpointData, OperationData, ProcedureData
from jobs.procedures.file.handover import as_kept
from jobs.procedures.file.holes import hole_as_kept
from jobs.procedures.file.reading import FORMAT

WIDTH = 110
YES = "yes"
SHORT = frozenset({"gates", "proves", "after", "passes"})


class _Short(list[str]):
    """A list of words, written on one line."""


class _Dumper(yaml.SafeDumper):
    """Text only; blocks indented under their key."""

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:
        super().increase_indent(flow, False)

    def ignore_aliases(self, data: Any) -> bool:
        return True


def _short(dumper: yaml.SafeDumper, words: _Short) -> yaml.Node:
    return dumper.represent_sequence("tag:yaml.org,2002:seq", words, flow_style=True)


def _text(dumper: yaml.SafeDumper, value: str) -> yaml.Node:
    """Text is written plain wherever YAML reads it back as the same text, `yes` and `1` included."""
    style = "|" if "\n" in value else None
    return dumper.represent_scalar("tag:yaml.org,2002:str", value, style=style)


_Dumper.add_representer(_Short, _short)
_Dumper.add_representer(str, _text)
# Every scalar of a procedure file is text, so nothing needs quotes only for looking like a number.
_Dumper.yaml_implicit_resolvers = {}


def written(data: ProcedureData) -> str:
    """The canonical file of a procedure."""
    procedure = {
        "code": data.code,
        "name": data.name,
        "revision": data.revision,
        "kit": data.kit,
        "vehicle_family": data.vehicle_family,
        "note": data.note,
    }
    before = ["", *(operation.code for operation in data.operations)]
    root = {
        "format": FORMAT,
        "procedure": _filled(procedure.items()),
        "layout": data.layout,
        "operations": [_operation(o, before[number]) for number, o in enumerate(data.operations)],
    }
    handover = as_kept(data.handover)
    if handover:
        root["handover"] = handover
    return in_yaml(root)


def in_yaml(tree: dict[str, Any]) -> str:
    """A tree of tables, lists and texts as the text of a file."""
    return yaml.dump(
        _with_short_lists(tree), Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=WIDTH
    )


def _with_short_lists(node: Any) -> Any:
    """Lists of words and codes on one line, as the canonical file has them."""
    if isinstance(node, list):
        return node if isinstance(node, _Short) else [_with_short_lists(item) for item in node]
    if not isinstance(node, dict):
        return node
    return {key: _short_list(key, value) for key, value in node.items()}


def _short_list(key: str, value: Any) -> Any:
    if key in SHORT and isinstance(value, list) and all(isinstance(item, str) for item in value):
        return _Short(value)
    return value if key == "layout" else _with_short_lists(value)


def _filled(pairs: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    return {key: value for key, value in pairs if value not in ("", None, [], ())}


def _operation(operation: OperationData, before: str) -> dict[str, Any]:
    return dict(_operation_pairs(operation, before))


def _operation_pairs(operation: OperationData, before: str) -> Iterator[tuple[str, Any]]:
    yield from (("code", operation.code), ("stage", operation.stage), ("title", operation.title))
    yield from (("minutes", str(operation.minutes)), ("skill", operation.skill))
    if operation.gates:
        yield "gates", _Short(operation.gates)
    if operation.after != ((before,) if before else ()):
        yield "after", _Short(operation.after)
    if operation.is_hold_point:
        yield "hold_point", YES
    lists = {
        "steps": list(operation.steps),
        "tools": list(operation.tools),
        "consumables": list(operation.consumables),
        "cautions": [{"signal": c.signal, "text": c.text} for c in operation.cautions],
        "bay_features": list(operation.bay_features),
        "holes": [hole_as_kept(hole) for hole in operation.holes],
        "checkpoints": [_checkpoint(c) for c in operation.checkpoints],
    }
    yield from ((key, value) for key, value in lists.items() if value)


def _checkpoint(checkpoint: CheckpointData) -> dict[str, Any]:
    return _filled(
        {
            "code": checkpoint.code,
            "kind": checkpoint.kind,
            "title": checkpoint.title,
            "side": checkpoint.side,
            "of": checkpoint.witness_of,
            "mark": checkpoint.mark,
            "limit": checkpoint.limit,
            "records": checkpoint.records,
            "equal": checkpoint.equal,
            "angle": checkpoint.angle,
            "agree": checkpoint.agree,
            "instrument": checkpoint.instrument,
            "angle_instrument": checkpoint.angle_instrument,
            "proves": _Short(checkpoint.proves),
            "joint": checkpoint.joint,
            "lubricant": checkpoint.lubricant,
            "thread": checkpoint.thread,
            "grade": checkpoint.grade,
            "grip": checkpoint.grip,
            "castle_nut": checkpoint.castle_nut,
            "prevailing": checkpoint.prevailing,
            "pattern": "" if checkpoint.pattern is None else str(checkpoint.pattern),
            "passes": _Short(checkpoint.passes),
            "lowered_from": checkpoint.lowered_from,
            "hardware": SINGLE_USE if checkpoint.is_single_use else "",
            "at_ride_height": YES if checkpoint.at_ride_height else "",
            "made_in": checkpoint.made_in,
            "criteria": list(checkpoint.criteria),
            "count": None if checkpoint.count is None else str(checkpoint.count),
            "go": checkpoint.go,
            "shows": checkpoint.shows,
        }.items()
    )

"""The text of a draft as the tree that it is: parts found by their codes, changed, moved, written again.

Whatever stands in the text stays there: a key that nobody knows is kept where it was.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from jobs.procedures.file.export import in_yaml
from jobs.procedures.yaml_text import Listing, Node, Table, Text, plain, read_yaml
from shop.file_errors import FileError

Tree = dict[str, Any]
OPERATIONS, CHECKPOINTS = "operations", "checkpoints"
WHOLE = ""


def tree_of(text: str) -> Tree:
    """The text as plain tables, lists and words.

    Raises:
        FileErrors: where it is no YAML of the kind that procedures are written in.
    """
    tree: Tree = plain(read_yaml(text.encode()))
    return tree


def text_of(tree: Tree) -> str:
    return in_yaml(tree)


def items_of(tree: Tree, key: str) -> list[Tree]:
    """The tables of a list in the tree; what is no table is left out."""
    found = tree.get(key)
    return [item for item in found if isinstance(item, dict)] if isinstance(found, list) else []


@dataclass(frozen=True)
class Spot:
    """Where a part stands: in which list, at which place. `inside` is the operation of a checkpoint."""

    items: list[Any]
    at: int
    inside: Tree | None = None

    @property
    def part(self) -> Tree:
        found: Tree = self.items[self.at]
        return found

    @property
    def is_checkpoint(self) -> bool:
        return self.inside is not None


def spot_of(tree: Tree, code: str) -> Spot | None:
    """The first operation or checkpoint with a code."""
    for at, operation in _numbered(tree, OPERATIONS):
        if operation.get("code") == code:
            return Spot(tree[OPERATIONS], at)
        for inner, checkpoint in _numbered(operation, CHECKPOINTS):
            if checkpoint.get("code") == code:
                return Spot(operation[CHECKPOINTS], inner, operation)
    return None


def move(spot: Spot, by: int) -> bool:
    """Move a part by one place up or down in its list; whether there was room."""
    to = spot.at + by
    if not 0 <= to < len(spot.items):
        return False
    spot.items.insert(to, spot.items.pop(spot.at))
    return True


def remove(spot: Spot) -> None:
    """Take a part out. An operation that others name in `after` is taken out of there too."""
    gone = spot.items.pop(spot.at)
    if not spot.is_checkpoint:
        for each in spot.items:
            after = each.get("after") if isinstance(each, dict) else None
            if isinstance(after, list) and gone.get("code") in after:
                each["after"] = [code for code in after if code != gone.get("code")]


def add_operation(tree: Tree, *, behind: str) -> str:
    """A new operation behind another, or at the end; returns its code."""
    operations = tree.setdefault(OPERATIONS, [])
    spot = spot_of(tree, behind)
    near = spot.part if spot else (operations[-1] if operations else {})
    taken = {o.get("code") for o in items_of(tree, OPERATIONS)}
    code = _free(str(near.get("code") or "T0"), taken)
    made = {"code": code, "stage": near.get("stage", ""), "skill": near.get("skill", "")}
    operations.insert(spot.at + 1 if spot else len(operations), {k: v for k, v in made.items() if v})
    return code


def add_checkpoint(operation: Tree, *, kind: str) -> str:
    """A new checkpoint at the end of an operation; returns its code."""
    checkpoints = operation.setdefault(CHECKPOINTS, [])
    taken = {c.get("code") for c in items_of(operation, CHECKPOINTS)}
    numbers = (f"{operation.get('code', '')}.{n}" for n in range(1, 1000))
    code = next(number for number in numbers if number not in taken)
    checkpoints.append({"code": code, "kind": kind})
    return code


def _free(near: str, taken: set[Any]) -> str:
    match = re.fullmatch(r"([A-Z])([0-9]{1,4})", near)
    letter, number = (match[1], int(match[2])) if match else ("T", 0)
    return next(f"{letter}{n}" for n in range(number + 1, 9999) if f"{letter}{n}" not in taken)


def _numbered(tree: Tree, key: str) -> list[tuple[int, Tree]]:
    found = tree.get(key)
    items = found if isinstance(found, list) else []
    return [(n, item) for n, item in enumerate(items) if isinstance(item, dict)]


@dataclass
class Placed:
    """The faults of one part: by the key of its field, and those of the part itself."""

    by_key: dict[str, list[str]] = field(default_factory=dict)
    own: list[str] = field(default_factory=list)

    @property
    def count(self) -> int:
        return len(self.own) + sum(map(len, self.by_key.values()))


def faults_by_part(text: str, errors: Sequence[FileError]) -> dict[str, Placed]:
    """Each fault at the part and the field on whose lines it is; WHOLE holds what belongs to none."""
    spans = _spans(read_yaml(text.encode()))
    found: dict[str, Placed] = {}
    for error in errors:
        line = error.line or 0
        here = [span for span in spans if span[0] <= line]
        _line, code, key = max(here, key=lambda span: span[0], default=(0, WHOLE, ""))
        placed = found.setdefault(code, Placed())
        if key:
            placed.by_key.setdefault(key, []).append(error.message)
        else:
            placed.own.append(f"{error.name}: {error.message}" if code == WHOLE else error.message)
    return found


def _spans(root: Table) -> list[tuple[int, str, str]]:
    """At which line which field of which part begins."""
    spans = [(line, WHOLE, "") for line in root.key_lines.values()]
    for operation in _tables(root, OPERATIONS):
        code = _word(operation, "code")
        spans += [(operation.line, code, "")]
        spans += [(line, code, key) for key, line in operation.key_lines.items() if line > operation.line]
        for checkpoint in _tables(operation, CHECKPOINTS):
            inner = _word(checkpoint, "code")
            spans += [(checkpoint.line, inner, "")]
            spans += [(line, inner, key) for key, line in checkpoint.key_lines.items()]
    return spans


def _tables(table: Table, key: str) -> list[Table]:
    node: Node | None = table.values.get(key)
    return [item for item in node.items if isinstance(item, Table)] if isinstance(node, Listing) else []


def _word(table: Table, key: str) -> str:
    node = table.values.get(key)
    return node.value if isinstance(node, Text) else ""

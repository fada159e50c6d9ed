"""The text of a draft as the tree that it is: its tables found by their codes, changed, moved, written again.

Whatever stands in the text stays there: a key that nobody knows is kept where it was.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from jobs.procedures.comments import with_comments_of
from jobs.procedures.draft_shapes import CHECKPOINT, ROOT, Shape, Tree
from jobs.procedures.file.export import in_yaml
from jobs.procedures.yaml_text import plain, read_yaml

OPERATIONS, CHECKPOINTS = "operations", "checkpoints"
HEAD, HEAD_KEY = "head", "procedure"
IN_ADDRESS = re.compile(r"(?![0-9]+$)[A-Za-z0-9.]{1,30}")
Nodes = tuple[str | int, ...]


def tree_of(text: str) -> Tree:
    """The text as plain tables, lists and words.

    Raises:
        FileErrors: where it is no YAML of the kind that procedures are written in.
    """
    tree: Tree = plain(read_yaml(text.encode()))
    return tree


def text_of(tree: Tree, *, before: str = "") -> str:
    """The tree as text; `before`: the text that it came from, whose comments stay.

    Raises:
        FileErrors: it cannot be read again.
    """
    text = in_yaml(tree)
    return with_comments_of(before, text) if before else text


def items_of(tree: Tree, key: str) -> list[Tree]:
    """The tables of a list in the tree; what is no table is left out."""
    return [item for _number, item in numbered(tree, key)]


def numbered(tree: Tree, key: str) -> list[tuple[int, Tree]]:
    """The tables of a list with their numbers in it."""
    found = tree.get(key)
    items = found if isinstance(found, list) else []
    return [(number, item) for number, item in enumerate(items) if isinstance(item, dict)]


@dataclass(frozen=True)
class Place:
    """One table of a draft.

    Attributes:
        path: how the address names it: "T10", "T10.1", "layout/views/RO/marks/C1", "T10/holes/1".
        nodes: where it is in the tree, keys and numbers.
        part: the table itself; empty where a table of its own is not there yet.
        above: the table that it lies in; None for those that lie in the draft itself.
        key: of the list, or of the table, that it is.
    """

    path: str
    nodes: Nodes
    shape: Shape
    part: Tree
    above: "Place | None" = None
    key: str = ""

    @property
    def number(self) -> int | None:
        """Its number in its list; None for a table of its own."""
        last = self.nodes[-1] if self.nodes else None
        return last if isinstance(last, int) else None

    @property
    def code(self) -> str:
        """Its code, or its number from 1 on; empty for a table of its own."""
        if self.number is None:
            return ""
        return str(self.part.get("code") or self.number + 1)

    def inside(self, key: str) -> Iterator["Place"]:
        """The rows of a list that lies in it."""
        shape = self.shape.lists[key]
        for number, row in numbered(self.part, key):
            segment = segment_of(self.part, key, number)
            if shape is CHECKPOINT and IN_ADDRESS.fullmatch(segment):
                path = segment
            else:
                path = segment if not self.path and key == OPERATIONS else _joined(self.path, key, segment)
            yield Place(path, (*self.nodes, key, number), shape, row, self, key)

    def beneath(self, key: str) -> "Place":
        """A table of its own that lies in it, whether it is there yet or not."""
        found = self.part.get(key)
        part = found if isinstance(found, dict) else {}
        path = HEAD if key == HEAD_KEY else _joined(self.path, key)
        return Place(path, (*self.nodes, key), self.shape.tables[key], part, self, key)


def root_of(tree: Tree) -> Place:
    return Place("", (), ROOT, tree)


def place_of(tree: Tree, path: str) -> Place | None:
    """The table that an address names; None where the draft has none there."""
    root = root_of(tree)
    if path == HEAD:
        return root.beneath(HEAD_KEY)
    first, *rest = path.split("/")
    if first in root.shape.tables and first != HEAD_KEY:
        return _descended(root.beneath(first), rest)
    for operation in root.inside(OPERATIONS):
        if operation.path == first:
            return _descended(operation, rest)
        for checkpoint in operation.inside(CHECKPOINTS):
            if checkpoint.path == path:
                return checkpoint
    return None


def _descended(place: Place, rest: list[str]) -> Place | None:
    if not rest:
        return place
    key, *more = rest
    if key in place.shape.tables:
        return _descended(place.beneath(key), more)
    if key not in place.shape.pages or not more:
        return None
    path = _joined(place.path, key, more[0])
    found = next((row for row in place.inside(key) if row.path == path), None)
    return _descended(found, more[1:]) if found else None


def segment_of(part: Tree, key: str, number: int) -> str:
    """How an address names a row: by its code where that is one and its own, else by its number."""
    rows = numbered(part, key)
    code = next((row.get("code") for at, row in rows if at == number), None)
    first = next((at for at, row in rows if row.get("code") == code), None)
    is_own = isinstance(code, str) and first == number and IN_ADDRESS.fullmatch(code)
    return str(code) if is_own else str(number + 1)


def put(tree: Tree, nodes: Nodes, value: Tree) -> None:
    """Put a table in its place; those that it lies in are made where they are not there."""
    within: Any = tree
    for node in nodes[:-1]:
        if isinstance(node, str) and not isinstance(within.get(node), dict | list):
            within[node] = {}
        within = within[node]
    within[nodes[-1]] = value


def _joined(*segments: str) -> str:
    return "/".join(segment for segment in segments if segment)

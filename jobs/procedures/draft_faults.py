"""The faults of a draft, each at the table and the field on whose line it is."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from jobs.procedures.draft_shapes import Shape
from jobs.procedures.draft_tree import Nodes, Place
from jobs.procedures.yaml_text import Listing, Node, Table, read_yaml
from shop.file_errors import FileError


@dataclass(frozen=True)
class LocatedFault:
    """What is wrong, and where in the tree."""

    nodes: Nodes
    message: str
    name: str

    def is_in(self, nodes: Nodes) -> bool:
        return self.nodes[: len(nodes)] == nodes

    @property
    def told(self) -> str:
        return f"{self.name}: {self.message}" if self.name else self.message

    def missing(self, keys: Sequence[str]) -> str | None:
        """The key that it is about though there is no line of it: the last word of its name."""
        word = (self.name.split() or [""])[-1]
        return word if word in keys else None


@dataclass
class Placed:
    """The faults of one table: by the key of its field, by field of a row (list, number, key), its own."""

    by_key: dict[str, list[str]] = field(default_factory=dict)
    by_row: dict[tuple[str, int, str], list[str]] = field(default_factory=dict)
    own: list[str] = field(default_factory=list)

    @property
    def count(self) -> int:
        return len(self.own) + sum(map(len, (*self.by_key.values(), *self.by_row.values())))


def located(text: str, errors: Sequence[FileError]) -> tuple[LocatedFault, ...]:
    """Each fault at the place in the tree on whose line it is."""
    if not errors:
        return ()
    spans = sorted(_spans(read_yaml(text.encode()), ()), key=lambda span: span[0])
    return tuple(LocatedFault(_nearest(spans, error), error.message, error.name) for error in errors)


def faults_of(place: Place, faults: Sequence[LocatedFault]) -> Placed:
    """What is wrong with a table itself; what is wrong with the rows that have a page stands there."""
    placed = Placed()
    for fault in faults:
        if not fault.is_in(place.nodes):
            continue
        key, number, inner = (*fault.nodes[len(place.nodes) :], None, None, None)[:3]
        key = fault.missing(place.shape.keys) if key is None else key
        if isinstance(key, str) and isinstance(number, int) and key in place.shape.rows:
            inner = inner or fault.missing(place.shape.rows[key].keys) or ""
            placed.by_row.setdefault((key, number, str(inner)), []).append(fault.message)
        elif not isinstance(key, str) or key in place.shape.tables:
            placed.own.append(fault.message)
        elif not (key in place.shape.pages and isinstance(number, int)):
            placed.by_key.setdefault(key, []).append(fault.message)
    return placed


def count_in(place: Place, faults: Sequence[LocatedFault], *, without: str = "") -> int:
    """How much is wrong with a table and all that lies in it, one of its lists left out."""
    left_out = (*place.nodes, without)
    return sum(1 for f in faults if f.is_in(place.nodes) and not (without and f.is_in(left_out)))


def of_nothing(faults: Sequence[LocatedFault], shape: Shape) -> list[str]:
    """What is wrong with no part that has a page of its own."""
    return [f.told for f in faults if not f.nodes or f.nodes[0] not in {*shape.pages, *shape.tables}]


def _nearest(spans: list[tuple[int, Nodes]], error: FileError) -> Nodes:
    """The place on the fault's line: by the key that its name ends with, else the innermost row or table."""
    line = error.line or 0
    last = max((at for at, _nodes in spans if at <= line), default=0)
    here = [nodes for at, nodes in spans if at == last]
    words = error.name.split()
    named = [nodes for nodes in here if words and nodes[-1] == words[-1]]
    rows = [nodes for nodes in here if isinstance(nodes[-1], int)]
    return max(named or rows or here, key=len, default=())


def _spans(node: Node, nodes: Nodes) -> Iterator[tuple[int, Nodes]]:
    """On which line what begins."""
    if isinstance(node, Table):
        for key, value in node.values.items():
            yield node.key_lines[key], (*nodes, key)
            yield from _spans(value, (*nodes, key))
    elif isinstance(node, Listing):
        for number, item in enumerate(node.items):
            yield item.line, (*nodes, number)
            yield from _spans(item, (*nodes, number))

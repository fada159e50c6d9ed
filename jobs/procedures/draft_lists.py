"""The parts of a draft in a line each: code, title, what it is about, how much is wrong in it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from jobs.procedures.draft_faults import LocatedFault, count_in
from jobs.procedures.draft_shapes import CHECKPOINT, OPERATION, Tree
from jobs.procedures.draft_tree import CHECKPOINTS, Place, numbered
from jobs.procedures.field_words import field_label

# What is told of a row beside its code and its title, in this order.
TOLD = ("stage", "kind", "limit", "side", "face", "view", "size", "count", "process")


@dataclass(frozen=True)
class PartLine:
    """One part in a list of a draft. `number`: from 1 on, as buttons name it."""

    path: str
    code: str
    title: str
    about: str
    faults: int
    number: int
    inside: tuple["PartLine", ...] = ()


@dataclass(frozen=True)
class PartList:
    """A list whose rows have a page each."""

    key: str
    label: str
    word: str
    kinds: tuple[tuple[str, Any], ...]
    lines: tuple[PartLine, ...]
    faults: tuple[str, ...]


def lists_of(place: Place, faults: Sequence[LocatedFault]) -> Iterator[PartList]:
    """The lists of a place whose rows have pages."""
    for key, shape in place.shape.pages.items():
        here = (*place.nodes, key)
        own = tuple(f.message for f in faults if f.nodes == here)
        lines = tuple(line_of(row, faults) for row in place.inside(key))
        yield PartList(key, field_label(key), str(shape.word), shape.kinds, lines, own)


def line_of(place: Place, faults: Sequence[LocatedFault]) -> PartLine:
    """One part in a line."""
    part, is_operation = place.part, place.shape is OPERATION
    inside = tuple(line_of(c, faults) for c in place.inside(CHECKPOINTS)) if is_operation else ()
    count = count_in(place, faults, without=CHECKPOINTS if is_operation else "")
    number = (place.number or 0) + 1
    return PartLine(
        place.path, str(part.get("code") or ""), _title(place), _about(place), count, number, inside
    )


def _title(place: Place) -> str:
    if place.number is None:
        return str(place.shape.word)
    named = str(place.part.get("title") or place.part.get("name") or "")
    is_titled = place.shape in (OPERATION, CHECKPOINT)
    return named or (_("no title yet") if is_titled else "")


def _about(place: Place) -> str:
    if place.number is None:
        return _counted(place.part)
    told = (place.part.get(key) for key in TOLD)
    return ", ".join(value for value in told if isinstance(value, str) and value)


def _counted(part: Tree) -> str:
    """How many rows the lists of a table have: 48 welds."""
    counts = ((key, len(numbered(part, key))) for key in part)
    return ", ".join(f"{count} {field_label(key)}" for key, count in counts if count) or _("none yet")

"""What a field of a draft may name elsewhere in it: datums, points, operations, checkpoints, panels."""

from collections.abc import Iterator

from jobs.models import CheckpointKind, Flag
from jobs.procedures.draft_fields import Codes
from jobs.procedures.draft_shapes import CRADLE, HOLES, MARKS, WELDS, Tree
from jobs.procedures.draft_tree import CHECKPOINTS, OPERATIONS, Place, items_of
from jobs.procedures.file.references import HOLE_READINGS


def codes_for(place: Place, tree: Tree) -> Codes:
    """For each source that the fields of a place name, the codes with their names."""
    if place.shape is MARKS and place.above:
        return {"datums": _named(items_of(place.above.part, "datums"))}
    if place.shape is CRADLE:
        return {key: _bare(items_of(place.part, key)) for key in ("points", "references")}
    if place.shape is HOLES:
        return {"lengths": _checkpoints(tree, HOLE_READINGS)}
    if place.shape is WELDS and place.above:
        panels = dict.fromkeys(str(row.get("view") or "") for row in items_of(place.above.part, "welds"))
        return {
            "panels": [(panel, panel) for panel in panels if panel],
            "hot_work": _named(_hot(tree), "title"),
            "weld_checkpoints": _checkpoints(tree, frozenset({CheckpointKind.WELD})),
        }
    return {}


def _named(rows: list[Tree], key: str = "name") -> list[tuple[str, str]]:
    found = ((str(row.get("code") or ""), str(row.get(key) or "")) for row in rows)
    return [(code, f"{code} {name}".strip()) for code, name in found if code]


def _bare(rows: list[Tree]) -> list[tuple[str, str]]:
    """Codes alone, where their names stand beside on the same page."""
    return [(code, code) for code, _name in _named(rows)]


def _hot(tree: Tree) -> list[Tree]:
    return [o for o in items_of(tree, OPERATIONS) if Flag.HOT_WORK in (o.get("gates") or ())]


def _checkpoints(tree: Tree, kinds: frozenset[CheckpointKind]) -> list[tuple[str, str]]:
    return _named([c for c in _every_checkpoint(tree) if c.get("kind") in kinds], "title")


def _every_checkpoint(tree: Tree) -> Iterator[Tree]:
    for operation in items_of(tree, OPERATIONS):
        yield from items_of(operation, CHECKPOINTS)

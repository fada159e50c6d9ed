"""What was typed into a part that somebody else's change has overtaken.

It is put onto the draft as it is now, field by field, or only shown where the part is another by now.
"""

from typing import Any

from django.http import QueryDict

from jobs.models import DraftVersion, ProcedureDraft
from jobs.procedures.draft_codes import codes_for
from jobs.procedures.draft_faults import Placed
from jobs.procedures.draft_fields import PartForm
from jobs.procedures.draft_page import DraftPartPage, typed_page
from jobs.procedures.draft_shapes import Tree
from jobs.procedures.draft_tree import Place, items_of, place_of, tree_of


def overtaken_page(
    draft: ProcedureDraft, path: str, *, data: QueryDict, seen: int, by: DraftVersion
) -> DraftPartPage | None:
    """The page with what was typed kept. None where neither version has such a part.

    Fields that were left as they were shown say what the draft says now, so that nothing of the other
    person's is taken back unseen. Where rows came or went meanwhile, what was typed is shown on the older
    version, which cannot be kept any more.
    """
    now = place_of(tree_of(by.text), path)
    then_version = draft.versions.filter(number=seen).first()
    then = place_of(tree_of(then_version.text), path) if then_version else None
    if then is None or then_version is None:
        return (
            None if now is None else typed_page(draft, by.text, now, data=data, seen=by.number, overtaken=by)
        )
    if now is None or not _is_same(then, now):
        old = then_version.text
        return typed_page(draft, old, then, data=data, seen=seen, overtaken=by, is_stuck=True)
    merged = _merged(then, now, tree_of(then_version.text), tree_of(by.text), data)
    return typed_page(draft, by.text, now, data=merged, seen=by.number, overtaken=by)


def _is_same(then: Place, now: Place) -> bool:
    """Whether both are the same part with the same rows, though other things may stand in their fields."""
    if not then.shape.is_coded and then.part.get("name") != now.part.get("name"):
        return False
    return all(_codes(then.part, key) == _codes(now.part, key) for key in then.shape.rows)


def _codes(part: Tree, key: str) -> list[Any]:
    return [row.get("code", row.get("name")) for row in items_of(part, key)]


def _merged(then: Place, now: Place, old: Tree, new: Tree, data: QueryDict) -> QueryDict:
    typed = PartForm(then.part, then.shape, faults=Placed(), codes=codes_for(then, old), data=data)
    shown = PartForm(now.part, now.shape, faults=Placed(), codes=codes_for(now, new))
    merged, changed = data.copy(), typed.changed()
    for name, field in shown.fields.items():
        if name not in changed:
            value = field.initial or ""
            merged.setlist(name, value if isinstance(value, list) else [value])
    return merged

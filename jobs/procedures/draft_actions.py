"""What is done to a draft by one button: add, move, remove, take back."""

import datetime as dt

from django.utils.translation import gettext as _

from jobs.models import CheckpointKind, DraftVersion, ProcedureDraft
from jobs.procedures.draft_fields import PartForm
from jobs.procedures.draft_page import HEAD
from jobs.procedures.draft_tree import (
    Tree,
    add_checkpoint,
    add_operation,
    move,
    remove,
    spot_of,
    text_of,
    tree_of,
)
from jobs.procedures.drafting import change_draft
from shop.drafting import newest
from shop.models import Person


def act(
    draft: ProcedureDraft, action: str, code: str, *, kind: str, seen: int, by: Person, now: dt.datetime
) -> str:
    """Do what a button says to the part with that code; returns the code of the part to look at next.

    Raises:
        OvertakenError: somebody else changed the draft since.
        FileErrors: the text cannot be read.
    """
    tree = tree_of(newest(draft).text)
    shown, what = _done(tree, action, code, kind)
    if what:
        change_draft(draft, text_of(tree), seen=seen, what=what, by=by, now=now)
    return shown


def _done(tree: Tree, action: str, code: str, kind: str) -> tuple[str, str]:
    """What to look at next, and what was done in words; no words where nothing was."""
    if action == "add_operation":
        made = add_operation(tree, behind=code)
        return made, _("%(code)s added") % {"code": made}
    spot = spot_of(tree, code)
    if spot is None:
        return "", ""
    words = {"code": code}
    if action == "add_checkpoint" and not spot.is_checkpoint:
        made = add_checkpoint(spot.part, kind=kind if kind in CheckpointKind.values else "")
        return made, _("%(code)s added") % {"code": made}
    if action in {"up", "down"} and move(spot, -1 if action == "up" else 1):
        return code, (_("%(code)s moved up") if action == "up" else _("%(code)s moved down")) % words
    if action == "remove":
        inside = str(spot.inside.get("code", "")) if spot.inside else ""
        remove(spot)
        return inside, _("%(code)s removed") % words
    return code, ""


def put_part(
    draft: ProcedureDraft, code: str, form: PartForm, *, seen: int, by: Person, now: dt.datetime
) -> tuple[str, DraftVersion]:
    """Write the fields of a part into the draft; its code as it is now, and the version.

    Raises:
        OvertakenError: somebody else changed the draft since.
        FileErrors: the draft would be another procedure's.
    """
    tree = tree_of(newest(draft).text)
    written = form.written()
    what = _("%(code)s changed") % {"code": code}
    if code == HEAD:
        tree["procedure"] = written
        what = _("what it says of itself changed")
    else:
        spot = spot_of(tree, code)
        if spot is not None:
            spot.items[spot.at] = written
    version = change_draft(draft, text_of(tree), seen=seen, what=what, by=by, now=now)
    return (HEAD if code == HEAD else str(written.get("code") or "")), version

"""What is done to a draft by one button: its fields kept, a row added, moved, taken out."""

import datetime as dt
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.models import ProcedureDraft
from jobs.procedures.draft_fields import PartForm
from jobs.procedures.draft_rows import add_operation, add_row, follow, move_row, remove_row
from jobs.procedures.draft_shapes import Tree
from jobs.procedures.draft_tree import (
    HEAD,
    OPERATIONS,
    Place,
    put,
    root_of,
    segment_of,
    text_of,
    tree_of,
)
from jobs.procedures.drafting import change_draft
from shop.drafting import newest
from shop.models import Person

LAYOUT_VIEWS = "layout/views"
VERBS = frozenset({"add", "another", "up", "down", "remove"})


@dataclass(frozen=True)
class Button:
    """What a button says: "add marks cut line", "up datums 2", "remove welds 14"; nothing for others.

    "another" adds a row of the same kind behind the one that is filled in.
    """

    verb: str = ""
    key: str = ""
    rest: str = ""

    @classmethod
    def of(cls, text: str, kind: str = "") -> "Button":
        """`kind`: what was chosen beside it, where the button does not say it itself."""
        verb, _space, more = text.strip().partition(" ")
        key, _space, rest = more.partition(" ")
        return cls(verb, key, rest.strip() or kind) if verb in VERBS else cls()

    @property
    def number(self) -> int:
        """The row, from 0 on; -1 for none."""
        return int(self.rest) - 1 if self.rest.isdecimal() and len(self.rest) < 6 else -1


@dataclass(frozen=True)
class Done:
    """What to look at next, at which row of it, and what was done in words; nothing where nothing was."""

    path: str
    what: str
    row: str = ""


def act(draft: ProcedureDraft, button: Button, *, seen: int, by: Person, now: dt.datetime) -> str:
    """Do what a button on the page of a whole draft says; the path of what to look at next.

    Raises:
        OvertakenError: somebody else changed the draft since.
        FileErrors: the text cannot be read.
    """
    before = newest(draft).text
    tree = tree_of(before)
    place = root_of(tree)
    if button.key == "views":
        place = place.beneath("layout")
        if button.verb == "add":
            put(tree, place.nodes, place.part)
    if button.key == OPERATIONS and button.verb == "add":
        shown = add_operation(tree, behind=button.rest)
        what = _("%(code)s added") % {"code": shown}
    else:
        what, number = _row_changed(tree, place, button)
        is_added = button.verb == "add" and number >= 0
        shown = f"{LAYOUT_VIEWS}/{segment_of(place.part, 'views', number)}" if is_added else ""
    if what:
        change_draft(draft, text_of(tree, before=before), seen=seen, what=what, by=by, now=now)
    return shown


def put_part(
    draft: ProcedureDraft,
    place: Place,
    form: PartForm,
    *,
    button: Button,
    seen: int,
    by: Person,
    now: dt.datetime,
) -> Done:
    """Write the fields of a place into the draft, then do what the button says to one of its rows.

    Raises:
        OvertakenError: somebody else changed the draft since.
        FileErrors: the draft would be another procedure's.
    """
    before = newest(draft).text
    tree = tree_of(before)
    written = form.written()
    told = [_changed_words(place)] if form.changed() else []
    put_written(tree, place, written)
    now_at = within = same_place(tree, place)
    if button.verb == "another" and place.above:
        within, button = same_place(tree, place.above), Button("add", place.key, str(written.get("kind", "")))
    number = -1
    if within and button.key in within.shape.lists:
        what, number = _row_changed(tree, within, button)
        told += [what] if what else []
    what = ", ".join(told)
    change_draft(draft, text_of(tree, before=before), seen=seen, what=what, by=by, now=now)
    path = now_at.path if now_at else ""
    if number < 0 or button.verb == "remove" or within is None:
        return Done(path, what)
    row = next(row for row in within.inside(button.key) if row.number == number)
    has_page = button.key in within.shape.pages and button.verb == "add"
    return Done(row.path, what) if has_page else Done(path, what, f"{button.key}-{number}")


def put_written(tree: Tree, place: Place, written: Tree) -> None:
    """Put the table that was filled in into a tree; an empty one of its own is left out while it is none."""
    if written or place.part:
        put(tree, place.nodes, written)
    if place.number is not None and place.above is not None:
        above = same_place(tree, place.above) or place.above
        follow(tree, above, place.key, place.part.get("code"), written.get("code"))
    now_at = same_place(tree, place)
    for key in place.shape.rows if now_at else ():
        before, after = place.part.get(key), written.get(key)
        for old, new in zip(before or (), after or (), strict=False):
            if now_at and isinstance(old, dict) and isinstance(new, dict):
                follow(tree, now_at, key, old.get("code"), new.get("code"))


def same_place(tree: Tree, place: Place) -> Place | None:
    """The place in another tree, by where it stands; its code may be another now."""
    if not place.nodes:
        return root_of(tree)
    above = same_place(tree, place.above) if place.above else root_of(tree)
    if above is None:
        return None
    if place.number is None:
        return above.beneath(place.key)
    return next((row for row in above.inside(place.key) if row.number == place.number), None)


def _changed_words(place: Place) -> str:
    if place.path == HEAD:
        return _("what it says of itself changed")
    if place.number is None:
        return _("%(what)s changed") % {"what": place.shape.word}
    return _("%(code)s changed") % {"code": place_words(place)}


def place_words(place: Place) -> str:
    """What a row is called in the list of changes: its code; with its word where it has only a number."""
    if place.part.get("code"):
        return str(place.part["code"])
    within = place_words(place.above) if place.above and place.above.number is not None else ""
    return f"{within} {place.shape.word} {(place.number or 0) + 1}".strip()


def _row_changed(tree: Tree, place: Place, button: Button) -> tuple[str, int]:
    """What became of a row in words, and its number now; no words where nothing was done."""
    if button.key not in place.shape.lists:
        return "", -1
    shape = place.shape.lists[button.key]
    if button.verb == "add":
        kind = button.rest if button.rest in {word for word, _label in shape.kinds} else ""
        if place.number is None and place.nodes and not place.part:
            put(tree, place.nodes, place.part)
        made = add_row(tree, place, button.key, kind=kind)
        return (
            _("%(code)s added") % {"code": _row_words(place, button.key, made)} if made >= 0 else ""
        ), made
    words = {"code": _row_words(place, button.key, button.number)}
    if button.verb == "remove":
        gone = remove_row(place.part, button.key, button.number)
        return (_("%(code)s removed") % words if gone else ""), button.number
    by = -1 if button.verb == "up" else 1
    if not move_row(place.part, button.key, button.number, by):
        return "", button.number
    told = _("%(code)s moved up") if by < 0 else _("%(code)s moved down")
    return told % words, button.number + by


def _row_words(place: Place, key: str, number: int) -> str:
    row = next((row for row in place.inside(key) if row.number == number), None)
    return place_words(row) if row else ""

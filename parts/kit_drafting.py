"""Writing a kit list in the browser: its text is the CSV of its file, one row a part."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from parts.kit_files import bring_in_kit, kit_file
from parts.kit_releasing import kit_stream
from parts.kit_sheet import COST, EVERY_COLUMN, HEAD, KitSheet, read_kit
from parts.models import KitDraft, KitDraftVersion, KitRevision
from shop.csv_files import Row, Sheet, read_sheet, write_sheet
from shop.drafting import CannotBeginError, change, close, keep_version, name_of, newest
from shop.events import lock_stream
from shop.file_errors import FileError, FileErrors
from shop.models import Person
from shop.revisions import RevisionState

FIELDS = tuple(name for name in EVERY_COLUMN if name not in HEAD)
Cells = dict[str, str]


@dataclass(frozen=True)
class KitDraftState:
    """A draft as it is now: its rows, what it says where that is right, and what is wrong with it."""

    draft: KitDraft
    version: KitDraftVersion
    rows: tuple[Row, ...]
    sheet: KitSheet | None
    errors: tuple[FileError, ...]

    @property
    def text(self) -> str:
        return self.version.text

    @property
    def cells(self) -> list[Cells]:
        """The rows, to be changed."""
        return [dict(row.cells) for row in self.rows]

    def faults(self, at: int) -> Mapping[str, list[str]]:
        """What is wrong with the row at a place, by its column."""
        found: dict[str, list[str]] = {}
        for error in self.errors:
            if error.line == self.rows[at].line:
                found.setdefault(error.name, []).append(error.message)
        return found

    @property
    def whole(self) -> list[str]:
        """What is wrong with no row of its own."""
        lines = {row.line for row in self.rows}
        return [str(error) for error in self.errors if error.line not in lines]


def begin_kit_draft(source: KitRevision, *, revision: str, by: Person, now: dt.datetime) -> KitDraft:
    """Begin to write a revision, from what another says. A draft that was brought in keeps its name.

    Raises:
        CannotBeginError: the name is none, is taken, or is being written already.
    """
    name, kit = name_of(revision), source.kit
    with transaction.atomic():
        lock_stream(kit_stream(source))
        if KitDraft.objects.filter(kit=kit, revision=name, closed_at=None).exists():
            raise CannotBeginError(_("%(name)s is being written already") % {"name": name})
        known = kit.revisions.filter(revision=name).first()
        if known is not None and (known.state != RevisionState.DRAFT or known.pk != source.pk):
            raise CannotBeginError(_("%(name)s is here already; take another name") % {"name": name})
        draft = KitDraft.objects.create(kit=kit, revision=name, begun_from=source)
        rows = [dict(row.cells) for row in _read(kit_file(source)).rows]
        what = _("begun from %(source)s") % {"source": source}
        keep_version(draft, 1, text_of(draft, rows), what=what, by=by, now=now)
    return draft


def _read(content: bytes) -> Sheet:
    """The rows of a list; one that was written before costs were known has no column for them."""
    return read_sheet(content, EVERY_COLUMN, optional=(COST,))


def text_of(draft: KitDraft, rows: Sequence[Mapping[str, str]]) -> str:
    """The list of a draft; what every row repeats of the kit is the draft's own."""
    head = {
        "kit": draft.kit.code,
        "revision": draft.revision,
        "kit_name": draft.kit.name,
        "supplier": draft.kit.supplier.name,
    }
    cells = ({**row, **head} for row in rows)
    return write_sheet(EVERY_COLUMN, [[row.get(name, "") for name in EVERY_COLUMN] for row in cells]).decode()


def kit_draft_state(draft: KitDraft) -> KitDraftState:
    """The draft as it is now, checked whole."""
    version: KitDraftVersion = newest(draft)
    content = version.text.encode()
    rows = _read(content).rows
    try:
        return KitDraftState(draft, version, rows, read_kit(content), ())
    except FileErrors as refused:
        return KitDraftState(draft, version, rows, None, refused.errors)


def change_rows(
    draft: KitDraft,
    rows: Sequence[Mapping[str, str]],
    *,
    seen: int,
    what: str,
    by: Person,
    now: dt.datetime,
) -> KitDraftVersion:
    """Keep changed rows as the newest version.

    Raises:
        OvertakenError: somebody else changed the draft since.
    """
    version: KitDraftVersion = change(draft, text_of(draft, rows), seen=seen, what=what, by=by, now=now)
    return version


def change_text(
    draft: KitDraft, content: bytes, *, seen: int, by: Person, now: dt.datetime
) -> KitDraftVersion:
    """Keep a pasted list as the newest version.

    Raises:
        FileErrors: no row can be read of it, or it is another kit's; nothing is kept.
        OvertakenError: somebody else changed the draft since.
    """
    sheet = _read(content)
    costs = {row["part_number"]: row.get(COST, "") for row in kit_draft_state(draft).cells}
    meant = {"kit": draft.kit.code, "revision": draft.revision}
    message = _("must stay “%(meant)s” in this draft")
    errors = [
        FileError(row.line, name, message % {"meant": own})
        for row in sheet.rows
        for name, own in meant.items()
        if row.cells[name] != own
    ]
    if sheet.errors or errors:
        raise FileErrors([*sheet.errors, *errors])
    # A list without the column says nothing about costs.
    rows = [{COST: costs.get(row.cells["part_number"], ""), **row.cells} for row in sheet.rows]
    return change_rows(draft, rows, seen=seen, what=_("the text changed"), by=by, now=now)


def keep_kit_draft(draft: KitDraft, *, seen: int, by: Person, now: dt.datetime) -> KitRevision:
    """Bring what was written in as a draft revision, ready to be released; the writing ends.

    Raises:
        FileErrors: with everything that is wrong with it.
        OvertakenError: somebody else changed the draft since.
    """
    try:
        with transaction.atomic():
            text = close(draft, seen=seen, now=now)
            return bring_in_kit(text.encode(), by=by, now=now, release=False)
    except FileErrors:
        draft.closed_at = None
        raise

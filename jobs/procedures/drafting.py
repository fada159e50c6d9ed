"""Writing a procedure in the browser: its text is the YAML of its file."""

import datetime as dt
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.models import DraftVersion, ProcedureDraft, ProcedureRevision
from jobs.procedures.bringing_in import bring_in_procedure, export_procedure
from jobs.procedures.draft_tree import text_of, tree_of
from jobs.procedures.file import ProcedureData, Remark, read_procedure
from jobs.procedures.file.fields import Faults
from jobs.procedures.file.reading import read_file
from jobs.procedures.yaml_text import read_yaml
from shop.drafting import CannotBeginError, change, close, keep_version, name_of, newest
from shop.events import lock_stream
from shop.file_errors import FileError, FileErrors
from shop.models import Person, ShopSettings
from shop.revisions import RevisionState


@dataclass(frozen=True)
class DraftState:
    """A draft: its text, what it says where that can be read, and what is wrong with it.

    `text` is that of the newest version, or what it would be with what somebody has typed.
    """

    draft: ProcedureDraft
    version: DraftVersion
    text: str
    data: ProcedureData | None
    errors: tuple[FileError, ...]
    remarks: tuple[Remark, ...]


def begin_draft(source: ProcedureRevision, *, revision: str, by: Person, now: dt.datetime) -> ProcedureDraft:
    """Begin to write a revision, from what another says. A draft that was brought in keeps its name.

    Raises:
        CannotBeginError: the name is none, is taken, or is being written already.
    """
    name, procedure = name_of(revision), source.procedure
    with transaction.atomic():
        draft = ProcedureDraft(procedure=procedure, revision=name, begun_from=source)
        lock_stream(draft.stream)
        if ProcedureDraft.objects.filter(procedure=procedure, revision=name, closed_at=None).exists():
            raise CannotBeginError(_("%(name)s is being written already") % {"name": name})
        known = procedure.revisions.filter(revision=name).first()
        if known is not None and (known.state != RevisionState.DRAFT or known.pk != source.pk):
            raise CannotBeginError(_("%(name)s is here already; take another name") % {"name": name})
        tree = tree_of(export_procedure(source))
        tree["procedure"]["revision"] = name
        draft.save()
        what = _("begun from %(source)s") % {"source": source}
        keep_version(draft, 1, text_of(tree), what=what, by=by, now=now)
    return draft


def state_of(draft: ProcedureDraft, *, text: str | None = None) -> DraftState:
    """The draft as it is now, checked whole; as it would be, where a text is given."""
    version = newest(draft)
    shown = version.text if text is None else text
    try:
        data, remarks = read_procedure(shown.encode(), settings=ShopSettings.current())
    except FileErrors as refused:
        return DraftState(draft, version, shown, None, tuple(refused.errors), ())
    return DraftState(draft, version, shown, data, (), remarks)


def readable(draft: ProcedureDraft) -> ProcedureData:
    """What a draft says as far as it can be read; its faults are told where it is written."""
    return read_file(read_yaml(newest(draft).text.encode()), Faults())


def change_draft(
    draft: ProcedureDraft, text: str, *, seen: int, what: str, by: Person, now: dt.datetime
) -> DraftVersion:
    """Keep a changed text as the newest version. The same text again is no change.

    Raises:
        FileErrors: it is no YAML, or names another procedure or revision; nothing is kept.
        OvertakenError: somebody else changed the draft since.
    """
    _check_head(draft, text)
    version: DraftVersion = change(draft, text, seen=seen, what=what, by=by, now=now)
    return version


def put_file(draft: ProcedureDraft, content: bytes, *, by: Person, now: dt.datetime) -> DraftVersion:
    """Put a file into a draft as its newest version, which may be taken back as every other.

    Raises:
        FileErrors: it cannot be read, or is another procedure's.
    """
    text = content.decode("utf-8-sig", errors="replace")
    text = text_of(tree_of(text), before=text)
    what = _("a file brought in")
    return change_draft(draft, text, seen=newest(draft).number, what=what, by=by, now=now)


def keep_draft(draft: ProcedureDraft, *, seen: int, by: Person, now: dt.datetime) -> ProcedureRevision:
    """Bring what was written in as a draft revision, ready to be released; the writing ends.

    Raises:
        FileErrors: with everything that is wrong with it.
        OvertakenError: somebody else changed the draft since.
    """
    try:
        with transaction.atomic():
            text = close(draft, seen=seen, now=now)
            brought = bring_in_procedure(text.encode(), by=by, now=now, release=False, replace_draft=True)
    except FileErrors:
        draft.closed_at = None
        raise
    return brought.revision


def _check_head(draft: ProcedureDraft, text: str) -> None:
    """A draft stays the draft of its procedure under its name."""
    head = tree_of(text).get("procedure")
    said = head if isinstance(head, dict) else {}
    errors = []
    for key, meant in (("code", draft.procedure.code), ("revision", draft.revision)):
        if said.get(key) != meant:
            message = _("must stay “%(meant)s” in this draft") % {"meant": meant}
            errors.append(FileError(None, f"procedure {key}", message))
    if errors:
        raise FileErrors(errors)

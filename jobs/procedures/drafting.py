"""Writing a procedure in the browser: changed freely, each change a version of its text and an event."""

import datetime as dt
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.models import DraftVersion, ProcedureDraft, ProcedureRevision
from jobs.procedures.bringing_in import bring_in_procedure, export_procedure
from jobs.procedures.draft_tree import text_of, tree_of
from jobs.procedures.file import ProcedureData, Remark, read_procedure
from jobs.procedures.file.fields import Faults
from jobs.procedures.file.reading import REVISION, read_file
from jobs.procedures.yaml_text import read_yaml
from shop.events import append, lock_stream
from shop.file_errors import FileError, FileErrors
from shop.models import Person, ShopSettings
from shop.revisions import RevisionState


class CannotBeginError(ValueError):
    """A draft cannot be begun under that name, in words."""


class OvertakenError(Exception):
    """Somebody changed the draft since the page was opened; `version` is the newest now."""

    def __init__(self, version: DraftVersion) -> None:
        super().__init__(str(version))
        self.version = version


@dataclass(frozen=True)
class DraftState:
    """A draft as it is now: its text, what it says where that can be read, and what is wrong with it."""

    draft: ProcedureDraft
    version: DraftVersion
    data: ProcedureData | None
    errors: tuple[FileError, ...]
    remarks: tuple[Remark, ...]

    @property
    def text(self) -> str:
        return self.version.text


def begin_draft(source: ProcedureRevision, *, revision: str, by: Person, now: dt.datetime) -> ProcedureDraft:
    """Begin to write a revision, from what another says. A draft that was brought in keeps its name.

    Raises:
        CannotBeginError: the name is none, is taken, or is being written already.
    """
    name = revision.strip().upper()
    if not REVISION.fullmatch(name):
        raise CannotBeginError(_("A revision is named in capitals and digits, such as C"))
    procedure = source.procedure
    with transaction.atomic():
        lock_stream(_stream(procedure.code))
        if ProcedureDraft.objects.filter(procedure=procedure, revision=name, closed_at=None).exists():
            raise CannotBeginError(_("%(name)s is being written already") % {"name": name})
        known = procedure.revisions.filter(revision=name).first()
        if known is not None and (known.state != RevisionState.DRAFT or known.pk != source.pk):
            raise CannotBeginError(_("%(name)s is here already; take another name") % {"name": name})
        tree = tree_of(export_procedure(source))
        tree["procedure"]["revision"] = name
        draft = ProcedureDraft.objects.create(procedure=procedure, revision=name, begun_from=source)
        what = _("begun from %(source)s") % {"source": source}
        _keep(draft, 1, text_of(tree), what=what, by=by, now=now)
    return draft


def state_of(draft: ProcedureDraft) -> DraftState:
    """The draft as it is now, checked whole."""
    version = newest(draft)
    try:
        data, remarks = read_procedure(version.text.encode(), settings=ShopSettings.current())
    except FileErrors as refused:
        return DraftState(draft, version, None, tuple(refused.errors), ())
    return DraftState(draft, version, data, (), remarks)


def readable(draft: ProcedureDraft) -> ProcedureData:
    """What a draft says as far as it can be read; its faults are told where it is written."""
    return read_file(read_yaml(newest(draft).text.encode()), Faults())


def newest(draft: ProcedureDraft) -> DraftVersion:
    return draft.versions.select_related("person").latest("number")


def change_draft(
    draft: ProcedureDraft, text: str, *, seen: int, what: str, by: Person, now: dt.datetime
) -> DraftVersion:
    """Keep a changed text as the newest version. The same text again is no change.

    Args:
        seen: the version that was changed.

    Raises:
        FileErrors: it is no YAML, or names another procedure or revision; nothing is kept.
        OvertakenError: somebody else changed the draft since.
    """
    _check_head(draft, text)
    with transaction.atomic():
        lock_stream(_stream(draft.procedure.code))
        last = newest(draft)
        if last.number != seen:
            raise OvertakenError(last)
        if last.text == text:
            return last
        return _keep(draft, seen + 1, text, what=what, by=by, now=now)


def undo_draft(draft: ProcedureDraft, *, seen: int, by: Person, now: dt.datetime) -> DraftVersion:
    """Take the last change back, as a change of its own; once more takes that back."""
    last = newest(draft)
    before = draft.versions.filter(number=last.number - 1).first()
    if before is None:
        return last
    what = _("taken back: %(what)s") % {"what": last.what}
    return change_draft(draft, before.text, seen=seen, what=what[:200], by=by, now=now)


def keep_draft(draft: ProcedureDraft, *, seen: int, by: Person, now: dt.datetime) -> ProcedureRevision:
    """Bring what was written in as a draft revision, ready to be released; the writing ends.

    Raises:
        FileErrors: with everything that is wrong with it.
        OvertakenError: somebody else changed the draft since.
    """
    with transaction.atomic():
        last = newest(draft)
        if last.number != seen:
            raise OvertakenError(last)
        brought = bring_in_procedure(last.text.encode(), by=by, now=now, release=False, replace_draft=True)
        draft.closed_at = now
        draft.save(update_fields=["closed_at"])
    return brought.revision


def discard_draft(draft: ProcedureDraft, *, by: Person, now: dt.datetime) -> None:
    """Stop writing; the versions stay in the record."""
    with transaction.atomic():
        draft.closed_at = now
        draft.save(update_fields=["closed_at"])
        data = {"revision": draft.revision, "by": by.pk}
        append(stream=_stream(draft.procedure.code), kind="procedure.draft_discarded", data=data, now=now)


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


def _keep(
    draft: ProcedureDraft, number: int, text: str, *, what: str, by: Person, now: dt.datetime
) -> DraftVersion:
    version = DraftVersion.objects.create(
        draft=draft, number=number, text=text, what=what[:200], person=by, at=now
    )
    append(
        stream=_stream(draft.procedure.code),
        kind="procedure.draft_changed",
        data={"revision": draft.revision, "version": number, "what": what[:200], "by": by.pk},
        now=now,
        rows=[version],
    )
    return version


def _stream(code: str) -> str:
    return f"procedure/{code}"

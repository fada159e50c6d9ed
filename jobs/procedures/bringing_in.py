"""Bringing a procedure into the shop's record from a file, and giving it out again."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.models import JudgingDecision, ProcedureDraft
from jobs.models.procedures import Checkpoint, Procedure, ProcedureRevision
from jobs.procedures.file import ProcedureData, Remark, read_procedure
from jobs.procedures.file.export import written
from jobs.procedures.file.handover import as_kept
from jobs.procedures.file.rows import data_of, save_operations
from jobs.procedures.kit import kit_remarks
from jobs.procedures.provability import survey
from jobs.procedures.releasing import needs_other_eyes, procedure_stream, release_procedure
from shop.drafting import newest
from shop.events import append, lock_stream
from shop.file_errors import FileError, FileErrors
from shop.models import Person, ShopSettings
from shop.revisions import RevisionState


class ProcedureNews(StrEnum):
    """What a file brought."""

    NEW = "new"
    CHANGED = "changed"
    RELEASED = "released"
    NOTHING = "nothing"


@dataclass(frozen=True)
class BroughtIn:
    """A revision as it was brought in, and what its writer should know."""

    revision: ProcedureRevision
    warnings: tuple[Remark, ...]
    news: ProcedureNews


@dataclass(frozen=True)
class Checked:
    """What a file would bring in."""

    data: ProcedureData
    warnings: tuple[Remark, ...]
    known: ProcedureRevision | None
    is_same: bool


def check_procedure(text: bytes, *, now: dt.datetime, replace_draft: bool = False) -> Checked:
    """Check a file against itself and against what the shop has. Nothing is saved.

    Raises:
        FileErrors: with every error, each with its line and name.
    """
    data, remarks = read_procedure(text, settings=ShopSettings.current())
    _refuse_written(data)
    return _check(data, remarks, now=now, replace_draft=replace_draft)


def bring_in_procedure(
    text: bytes,
    *,
    by: Person,
    now: dt.datetime,
    release: bool,
    replace_draft: bool = False,
    released_by: Person | None = None,
) -> BroughtIn:
    """Bring in a procedure file. Nothing is saved unless all of it is right.

    The same content again is no news. A released revision never changes; a draft is replaced only where
    that is asked for; what is being written in the browser is not written over.

    Args:
        released_by: who releases it, where that is not `by`: whoever wrote on what changes joints, welds or
            gates is not the only eyes on it.

    Raises:
        FileErrors: with every error, each with its line and name.
    """
    data, remarks = read_procedure(text, settings=ShopSettings.current())
    with transaction.atomic():
        lock_stream(f"procedure/{data.code}")
        _refuse_written(data)
        checked = _check(data, remarks, now=now, replace_draft=replace_draft)
        if checked.known is None:
            revision, news = _lay_down(data, by=by, now=now), ProcedureNews.NEW
        elif checked.is_same:
            revision, news = checked.known, ProcedureNews.NOTHING
        else:
            revision, news = _replace_draft(checked.known, data, by=by, now=now), ProcedureNews.CHANGED
        if release and revision.state == RevisionState.DRAFT:
            _refuse_own_eyes(revision, by=released_by or by)
            revision = release_procedure(revision=revision, by=released_by or by, now=now)
            news = ProcedureNews.RELEASED if news is ProcedureNews.NOTHING else news
    return BroughtIn(revision, checked.warnings, news)


def written_over(data: ProcedureData) -> ProcedureDraft | None:
    """What somebody is writing in the browser under the same name."""
    drafts = ProcedureDraft.objects.filter(closed_at=None).select_related("procedure")
    return drafts.filter(procedure__code=data.code, revision=data.revision).first()


def _refuse_written(data: ProcedureData) -> None:
    """A file does not write over what is being written; it can be put into it as its newest version."""
    draft = written_over(data)
    if draft is None:
        return
    last = newest(draft)
    message = _(
        "%(draft)s is being written in the browser, last by %(who)s (%(what)s). Keep or throw away what was"
        " written, put the file into it as its newest version, or give the file another revision."
    )
    words = {"draft": draft, "who": last.person, "what": last.what}
    raise FileErrors([FileError(data.lines.get("revision"), "procedure revision", message % words)])


def _refuse_own_eyes(revision: ProcedureRevision, *, by: Person) -> None:
    codes = needs_other_eyes(revision, by=by)
    if codes:
        message = _(
            "%(who)s wrote on %(revision)s, and steering, suspension, brakes, welds or gates are in what it"
            " changes: %(codes)s. Somebody else releases it."
        )
        words = {"who": by, "revision": revision, "codes": ", ".join(codes)}
        raise FileErrors([FileError(None, "procedure revision", message % words)])


def export_procedure(revision: ProcedureRevision) -> str:
    """The file of a revision, in its one canonical form."""
    return written(data_of(revision))


def _check(
    data: ProcedureData, remarks: tuple[Remark, ...], *, now: dt.datetime, replace_draft: bool
) -> Checked:
    known = (
        ProcedureRevision.objects.select_related("procedure")
        .filter(procedure__code=data.code, revision=data.revision)
        .first()
    )
    is_same = known is not None and data_of(known) == data
    errors = list(_errors_against_shop(data))
    if known is not None and not is_same:
        errors += _errors_against_revision(data, known, replace_draft=replace_draft)
    if errors:
        raise FileErrors(errors)
    surveyed = survey(data, now=now, settings=ShopSettings.current())
    warnings = [*remarks, *surveyed.remarks(), *kit_remarks(data)]
    return Checked(data, tuple(sorted(warnings, key=lambda w: w.line or 0)), known, is_same)


def _errors_against_shop(data: ProcedureData) -> Iterator[FileError]:
    """A code stays with one procedure for one kit, or what is released would change unseen."""
    procedure = Procedure.objects.filter(code=data.code).first()
    if procedure is None:
        return
    message = _("%(code)s is known here with “%(known)s”; another procedure needs another code")
    for key, known, said in (
        ("name", procedure.name, data.name),
        ("kit", procedure.kit_code, data.kit),
        ("vehicle_family", procedure.vehicle_family, data.vehicle_family),
    ):
        if known != said:
            parts = {"code": data.code, "known": known}
            yield FileError(data.lines.get(key), f"procedure {key}", message % parts)


def _errors_against_revision(
    data: ProcedureData, known: ProcedureRevision, *, replace_draft: bool
) -> Iterator[FileError]:
    parts = {"revision": known}
    if known.state != RevisionState.DRAFT:
        message = _("%(revision)s is released with other content and never changes; give it a new revision")
    elif not replace_draft:
        message = _("%(revision)s is here as a draft with other content; replace the draft or name another")
    else:
        return
    yield FileError(data.lines.get("revision"), "procedure revision", message % parts)


def _lay_down(data: ProcedureData, *, by: Person, now: dt.datetime) -> ProcedureRevision:
    procedure, is_new = Procedure.objects.get_or_create(
        code=data.code,
        defaults={"name": data.name, "kit_code": data.kit, "vehicle_family": data.vehicle_family},
    )
    revision = ProcedureRevision.objects.create(
        procedure=procedure,
        revision=data.revision,
        note=data.note,
        layout=data.layout,
        handover=as_kept(data.handover),
    )
    rows = save_operations(data, revision)
    append(
        stream=procedure_stream(revision),
        kind="procedure.brought_in",
        data={"revision": data.revision, "rows": len(rows), "by": by.pk},
        now=now,
        rows=[*([procedure] if is_new else []), revision, *rows],
    )
    return revision


def _replace_draft(
    revision: ProcedureRevision, data: ProcedureData, *, by: Person, now: dt.datetime
) -> ProcedureRevision:
    checkpoints = Checkpoint.objects.filter(operation__revision=revision)
    decisions = JudgingDecision.objects.filter(checkpoint__in=checkpoints)
    old = [*decisions, *checkpoints, *revision.operations.all()]
    decisions.delete()
    checkpoints.delete()
    revision.operations.all().delete()
    revision.note, revision.layout, revision.handover = data.note, data.layout, as_kept(data.handover)
    revision.save(update_fields=["note", "layout", "handover"])
    rows = save_operations(data, revision)
    append(
        stream=procedure_stream(revision),
        kind="procedure.draft_replaced",
        data={"revision": data.revision, "rows": len(rows), "by": by.pk},
        now=now,
        rows=[revision, *rows],
        removed=old,
    )
    return revision

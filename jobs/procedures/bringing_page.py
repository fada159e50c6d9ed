"""Bringing a procedure in at a desk: what is wrong with the text, or what it would bring, then the saving."""

import datetime as dt
from dataclasses import dataclass, field
from enum import StrEnum

from django.utils.translation import gettext as _

from jobs.judging.limits import reader_of
from jobs.models import ProcedureDraft, ProcedureRevision
from jobs.procedures.bringing_in import (
    Checked,
    ProcedureNews,
    bring_in_procedure,
    check_procedure,
    written_over,
)
from jobs.procedures.drafting import put_file
from jobs.procedures.file import Remark, read_procedure
from jobs.procedures.forms import BringInForm, digest_of
from jobs.procedures.page import ProcedurePage, procedure_page
from shop.excerpts import Excerpt, excerpts
from shop.file_errors import FileError, FileErrors
from shop.models import Person, ShopSettings


class Ask(StrEnum):
    """What the person wants: only a look, a draft, or a draft that is to be released next."""

    CHECK = ""
    DRAFT = "draft"
    RELEASE = "release"
    INTO_DRAFT = "into_draft"


@dataclass(frozen=True)
class BringingPage:
    """What the page of bringing in shows; `saved` once something is."""

    form: BringInForm
    digest: str = ""
    file_errors: tuple[FileError, ...] = ()
    excerpts: tuple[Excerpt, ...] = ()
    checked: Checked | None = None
    preview: ProcedurePage | None = None
    has_changed: bool = False
    saved: ProcedureRevision | None = None
    said: str = ""
    written: ProcedureDraft | None = None
    ask: Ask = field(default=Ask.CHECK)

    @property
    def errors(self) -> list[tuple[str, str]]:
        """For the summary on top: where on the page, and what is wrong."""
        shown = {line.number for excerpt in self.excerpts for line in excerpt.lines}
        return [(f"line-{e.line}" if e.line in shown else "", str(e)) for e in self.file_errors]

    @property
    def warnings(self) -> tuple[Remark, ...]:
        return self.checked.warnings if self.checked else ()

    @property
    def is_known(self) -> bool:
        """Whether the shop has this very revision with this very content."""
        return self.checked is not None and self.checked.is_same


def bringing_page(
    form: BringInForm, *, by: Person, now: dt.datetime, ask: Ask, checked_digest: str
) -> BringingPage:
    """Check what was sent; save it where that is asked for and the same text was checked before."""
    digest = digest_of(form.content)
    written = _written(form.content)
    if ask is Ask.INTO_DRAFT and written is not None:
        version = put_file(written, form.content, by=by, now=now)
        return BringingPage(form, said=version.what, written=written, ask=ask)
    again = BringInForm(initial={"text": form.shown_text, "replace_draft": form.replaces_draft})
    try:
        if ask is not Ask.CHECK and digest == checked_digest:
            return _save(form, by=by, now=now, ask=ask)
        checked = check_procedure(form.content, now=now, replace_draft=form.replaces_draft)
    except FileErrors as refused:
        shown = excerpts(form.shown_text, refused.errors)
        return BringingPage(again, digest, refused.errors, shown, written=written)
    return BringingPage(
        again,
        digest,
        checked=checked,
        preview=procedure_page(checked.data, now=now, reader=reader_of(by)),
        has_changed=ask is not Ask.CHECK,
    )


def _written(content: bytes) -> ProcedureDraft | None:
    """What is being written under the name of a file that is right otherwise."""
    try:
        data, _remarks = read_procedure(content, settings=ShopSettings.current())
    except FileErrors:
        return None
    return written_over(data)


def _save(form: BringInForm, *, by: Person, now: dt.datetime, ask: Ask) -> BringingPage:
    brought = bring_in_procedure(
        form.content, by=by, now=now, release=False, replace_draft=form.replaces_draft
    )
    said = {
        ProcedureNews.NEW: _("%(revision)s is saved as a draft"),
        ProcedureNews.CHANGED: _("The draft of %(revision)s is replaced"),
        ProcedureNews.NOTHING: _("%(revision)s was here already with the same content; nothing changed"),
    }[brought.news]
    return BringingPage(form, saved=brought.revision, said=said % {"revision": brought.revision}, ask=ask)

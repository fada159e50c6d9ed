"""Bringing a kit into the shop's record from a file, and giving it out again."""

import datetime as dt
from dataclasses import asdict, dataclass
from enum import StrEnum

from django.db import transaction
from django.utils.translation import gettext as _

from parts.kit_releasing import kit_stream, needs_other_eyes, release_kit
from parts.kit_sheet import KitSheet, kit_sheet, read_kit, write_kit
from parts.models import KitDefinition, KitDraft, KitLine, KitRevision, Supplier
from shop.drafting import newest
from shop.events import append, lock_stream
from shop.file_errors import FileError, FileErrors
from shop.models import Person
from shop.revisions import RevisionState


class KitNews(StrEnum):
    """What a file brought."""

    NEW = "new"
    CHANGED = "changed"
    RELEASED = "released"
    NOTHING = "nothing"


@dataclass(frozen=True)
class KitBroughtIn:
    revision: KitRevision
    news: KitNews


def bring_in_kit(
    text: bytes, *, by: Person, now: dt.datetime, release: bool, released_by: Person | None = None
) -> KitRevision:
    """Bring in a kit file; the revision it holds. Nothing is saved unless all of it is right.

    Raises:
        FileErrors: with every error, each with its line and column.
    """
    return bring_in(text, by=by, now=now, release=release, released_by=released_by).revision


def bring_in(
    text: bytes, *, by: Person, now: dt.datetime, release: bool, released_by: Person | None = None
) -> KitBroughtIn:
    """As `bring_in_kit`, and says what was new.

    A draft is replaced by what the file says. A released revision never changes: the same content is no
    news, other content is refused. What is being written in the browser is not written over. `released_by`
    releases it, where whoever brings it in may not be the only eyes on it.
    """
    sheet = read_kit(text)
    with transaction.atomic():
        lock_stream(f"kit/{sheet.kit}")
        _refuse_written(sheet)
        known = KitRevision.objects.filter(kit__code=sheet.kit, revision=sheet.revision).first()
        here = kit_sheet(known) if known is not None else sheet
        sheet = sheet.with_costs_of(here)
        if known is None:
            revision, news = _lay_down(sheet, by=by, now=now), KitNews.NEW
        elif here == sheet:
            revision, news = known, KitNews.NOTHING
        else:
            revision, news = _replace_draft(known, sheet, by=by, now=now), KitNews.CHANGED
        if release and revision.state == RevisionState.DRAFT:
            _refuse_own_eyes(revision, by=released_by or by)
            release_kit(revision=revision, by=released_by or by, now=now)
            news = KitNews.RELEASED if news is KitNews.NOTHING else news
    return KitBroughtIn(revision, news)


def _refuse_written(sheet: KitSheet) -> None:
    """A file does not write over what is being written in the browser."""
    open_drafts = KitDraft.objects.filter(closed_at=None).select_related("kit")
    draft = open_drafts.filter(kit__code=sheet.kit, revision=sheet.revision).first()
    if draft is not None:
        last = newest(draft)
        message = _(
            "%(draft)s is being written in the browser, last by %(who)s (%(what)s). Keep or throw away what"
            " was written, paste the file into it as text, or give the file another revision."
        )
        words = {"draft": draft, "who": last.person, "what": last.what}
        raise FileErrors([FileError(None, "revision", message % words)])


def _refuse_own_eyes(revision: KitRevision, *, by: Person) -> None:
    parts = needs_other_eyes(revision, by=by)
    if parts:
        message = _(
            "%(who)s wrote on %(revision)s, and parts of steering, suspension, brakes or welds are in what it"
            " changes: %(parts)s. Somebody else releases it."
        )
        words = {"who": by, "revision": revision, "parts": ", ".join(parts)}
        raise FileErrors([FileError(None, "revision", message % words)])


def kit_file(revision: KitRevision) -> bytes:
    """The file of a revision, in its one canonical form."""
    return write_kit(kit_sheet(revision))


def _lay_down(sheet: KitSheet, *, by: Person, now: dt.datetime) -> KitRevision:
    kit = KitDefinition.objects.select_related("supplier").filter(code=sheet.kit).first()
    is_new_kit = kit is None
    if kit is None:
        supplier, _made = Supplier.objects.get_or_create(name=sheet.supplier)
        kit = KitDefinition.objects.create(code=sheet.kit, name=sheet.kit_name, supplier=supplier)
    _check_same_kit(kit, sheet)
    revision = KitRevision.objects.create(kit=kit, revision=sheet.revision)
    lines = _save_lines(revision, sheet)
    append(
        stream=kit_stream(revision),
        kind="kit.brought_in",
        data={"revision": sheet.revision, "lines": len(lines), "by": by.pk},
        now=now,
        rows=[*([kit] if is_new_kit else []), revision, *lines],
    )
    return revision


def _replace_draft(revision: KitRevision, sheet: KitSheet, *, by: Person, now: dt.datetime) -> KitRevision:
    if revision.state != RevisionState.DRAFT:
        message = _(
            "Revision %(revision)s of %(kit)s is released and says something else. What is released never"
            " changes: give the new list a new revision."
        )
        names = {"revision": sheet.revision, "kit": sheet.kit}
        raise FileErrors([FileError(None, "revision", message % names)])
    _check_same_kit(revision.kit, sheet)
    old = list(revision.lines.all())
    revision.lines.all().delete()
    lines = _save_lines(revision, sheet)
    append(
        stream=kit_stream(revision),
        kind="kit.draft_replaced",
        data={"revision": sheet.revision, "lines": len(lines), "by": by.pk},
        now=now,
        rows=lines,
        removed=old,
    )
    return revision


def _check_same_kit(kit: KitDefinition, sheet: KitSheet) -> None:
    """A code stays with one kit of one supplier, or the older revisions would be renamed unseen."""
    known = {"kit_name": (kit.name, sheet.kit_name), "supplier": (kit.supplier.name, sheet.supplier)}
    message = _("%(kit)s is known with %(known)s here, the file says %(said)s.")
    errors = [
        FileError(None, name, message % {"kit": kit.code, "known": here, "said": said})
        for name, (here, said) in known.items()
        if here != said
    ]
    if errors:
        raise FileErrors(errors)


def _save_lines(revision: KitRevision, sheet: KitSheet) -> list[KitLine]:
    lines = []
    for position, line in enumerate(sheet.lines, start=1):
        fields = {**asdict(line), "substitutes": list(line.substitutes)}
        lines.append(KitLine(revision=revision, position=position, **fields))
    return KitLine.objects.bulk_create(lines)

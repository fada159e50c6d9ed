"""Writing a revision in the browser: changed freely, each change a version of its text and an event.

The same for everything that has revisions; what the text says, and when it is right, its own app knows.
"""

import datetime as dt
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from shop.events import append, lock_stream
from shop.models import Person, WrittenDraft
from shop.revisions import REVISION

LONGEST_WHAT = 200


class CannotBeginError(ValueError):
    """A draft cannot be begun under that name, in words."""


class OvertakenError(Exception):
    """Somebody changed the draft since the page was opened; `version` is the newest now."""

    def __init__(self, version: Any) -> None:
        super().__init__(str(version))
        self.version = version


def name_of(typed: str) -> str:
    """The name of a revision to come, as it is written.

    Raises:
        CannotBeginError: it is none.
    """
    name = typed.strip().upper()
    if not REVISION.fullmatch(name):
        raise CannotBeginError(_("A revision is named in capitals and digits, such as C"))
    return name


def newest(draft: Any) -> Any:
    """The version of a draft that counts."""
    return draft.versions.select_related("person").latest("number")


def keep_version(
    draft: WrittenDraft, number: int, text: str, *, what: str, by: Person, now: dt.datetime
) -> Any:
    """Keep a text as a version, with its event; the caller holds the stream."""
    told = what[:LONGEST_WHAT]
    version = _versions(draft).create(number=number, text=text, what=told, person=by, at=now)
    append(
        stream=draft.stream,
        kind=f"{draft.word}.draft_changed",
        data={"revision": draft.revision, "version": number, "what": told, "by": by.pk},
        now=now,
        rows=[version],
    )
    return version


def change(draft: WrittenDraft, text: str, *, seen: int, what: str, by: Person, now: dt.datetime) -> Any:
    """Keep a changed text as the newest version. The same text again is no change.

    Args:
        seen: the version that was changed.

    Raises:
        OvertakenError: somebody else changed the draft since.
    """
    with transaction.atomic():
        lock_stream(draft.stream)
        last = newest(draft)
        if last.number != seen:
            raise OvertakenError(last)
        if last.text == text:
            return last
        return keep_version(draft, seen + 1, text, what=what, by=by, now=now)


def take_back(draft: WrittenDraft, *, seen: int, by: Person, now: dt.datetime) -> Any:
    """Take the last change back, as a change of its own; once more takes that back.

    Raises:
        OvertakenError: somebody else changed the draft since.
    """
    last = newest(draft)
    before = _versions(draft).filter(number=last.number - 1).first()
    if before is None:
        return last
    what = _("taken back: %(what)s") % {"what": last.what}
    return change(draft, before.text, seen=seen, what=what, by=by, now=now)


def close(draft: WrittenDraft, *, seen: int, now: dt.datetime) -> str:
    """End the writing inside of the caller's transaction; the text that was written.

    Raises:
        OvertakenError: somebody else changed the draft since.
    """
    last = newest(draft)
    if last.number != seen:
        raise OvertakenError(last)
    draft.closed_at = now
    draft.save(update_fields=["closed_at"])
    return str(last.text)


def discard(draft: WrittenDraft, *, by: Person, now: dt.datetime) -> None:
    """Stop writing; the versions stay in the record."""
    with transaction.atomic():
        draft.closed_at = now
        draft.save(update_fields=["closed_at"])
        data = {"revision": draft.revision, "by": by.pk}
        append(stream=draft.stream, kind=f"{draft.word}.draft_discarded", data=data, now=now)


def _versions(draft: Any) -> Any:
    return draft.versions

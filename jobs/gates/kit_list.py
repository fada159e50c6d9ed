"""The gate of a kit list that was superseded while its car was on the floor, and its words."""

import datetime as dt
from collections.abc import Iterator

from django.utils.translation import gettext as _

from jobs.reasons import Reason
from jobs.record import JobRecord, OperationStanding
from parts.newer_lists import NewerList

MOST_NAMED = 3


def before_its_parts_are_decided(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """A newer list changes parts that this needs, or that what it does once more needed: somebody decides."""
    yield from list_undecided_at(record, operation)


def list_undecided_at(record: JobRecord, operation: OperationStanding) -> Iterator[Reason]:
    """The same as of any time."""
    newer, codes = record.newer_list, record.stands_for(operation)
    if newer is not None and not newer.touched.isdisjoint(codes):
        yield list_undecided(newer, operation, newer.parts_of(codes))


def before_release_the_list_is_decided(record: JobRecord) -> Iterator[Reason]:
    """A car is not handed over with a newer list that nobody has looked at for it."""
    if record.newer_list is not None:
        yield list_undecided(record.newer_list)


def list_undecided(
    newer: NewerList, operation: OperationStanding | None = None, parts: tuple[str, ...] = ()
) -> Reason:
    """A newer list touches this; until somebody decides, nobody knows which parts go on the car."""
    words = {"old": newer.old, "new": newer.new.revision, "order": newer.order}
    if operation is None:
        text = _("Kit list %(new)s has superseded %(old)s; nobody has decided about this car") % words
    else:
        text = _(
            "Kit list %(new)s changes %(parts)s for %(code)s %(title)s; nobody has decided about this car"
        ) % {
            **words,
            "parts": _named(parts),
            "code": operation.code,
            "title": operation.operation.title,
        }
    clear = _(
        "A lead or the manager decides on the page of kit order %(order)s: "
        "carry on with %(old)s, change over, or rework"
    )
    return Reason(f"kit_revision:{newer.new.revision}", text, clear % words)


def _named(parts: tuple[str, ...]) -> str:
    """The first few by number, the rest counted."""
    some, more = ", ".join(parts[:MOST_NAMED]), len(parts) - MOST_NAMED
    return _("%(some)s and %(more)d more") % {"some": some, "more": more} if more > 0 else some

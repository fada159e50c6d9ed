"""The gate of a revision that was superseded while the car was on the floor, and its words."""

import datetime as dt
from collections.abc import Iterator

from django.utils.translation import gettext as _

from jobs.reasons import Reason
from jobs.record import JobRecord, OperationStanding
from jobs.superseded import Superseded


def before_its_revision_is_decided(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """A newer revision changes this operation: somebody decides by which of the two the car goes on."""
    if record.superseded is not None and operation.code in record.superseded.touched:
        yield revision_undecided(record.superseded, operation)


def before_release_the_revision_is_decided(record: JobRecord) -> Iterator[Reason]:
    """A car is not handed over with a newer revision that nobody has looked at for it."""
    if record.superseded is not None:
        yield revision_undecided(record.superseded)


def revision_undecided(superseded: Superseded, operation: OperationStanding | None = None) -> Reason:
    """A newer revision touches this; until somebody decides, nobody knows by which it is to be done."""
    words = {"old": superseded.old.revision, "new": superseded.new.revision}
    if operation is None:
        text = _("Revision %(new)s has superseded %(old)s; nobody has decided about this car") % words
    else:
        text = _("Revision %(new)s changes %(code)s %(title)s; nobody has decided about this car") % {
            **words,
            "code": operation.code,
            "title": operation.operation.title,
        }
    clear = _("A lead decides on the car's revision page: carry on with %(old)s, change over, or rework")
    return Reason(f"revision:{superseded.new.revision}", text, clear % words)

"""What was changed about the route of one car, for pages and papers: one list in the order of signing."""

import datetime as dt
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.models import Addition, RevisionDecision
from jobs.record import JobRecord, OperationStanding
from shop.models import Person


@dataclass(frozen=True)
class Change:
    """One departure from the released procedure, with whoever stands for it."""

    kind: str
    name: str
    operation: str
    checkpoint: str
    text: str
    reason: str
    person: Person
    second: Person | None
    at: dt.datetime
    ended: str = ""

    @property
    def is_in_force(self) -> bool:
        return not self.ended


def changes_of(record: JobRecord) -> tuple[Change, ...]:
    """Deviations, what was left out or added, decisions about revisions; those taken back too. No queries."""
    found = [*_deviations(record), *_omissions(record), *_additions(record)]
    found += [*_decisions(record), *_kit_decisions(record)]
    return tuple(sorted(found, key=lambda change: change.at))


def _deviations(record: JobRecord) -> list[Change]:
    return [
        Change(
            kind="deviation",
            name=_("Deviation D%(number)d") % {"number": row.number},
            operation=row.job_operation.operation.code,
            checkpoint=row.checkpoint.code if row.checkpoint else "",
            text="; ".join(part for part in (row.text, row.limit, row.equal) if part),
            reason=row.reason,
            person=row.person,
            second=row.second,
            at=row.issued_at,
            ended="" if row.is_in_force else _("withdrawn: %(why)s") % {"why": row.withdrawn_reason},
        )
        for row in record.deviations
    ]


def _decisions(record: JobRecord) -> list[Change]:
    """What was decided when a newer revision came, and of each operation that had begun by then."""
    found = []
    for row in record.decisions:
        found.append(_decided(row, "", str(row.get_answer_display()), row.reason))
        for passed in row.passed.all():
            text = str(passed.get_answer_display())
            text = f"{text} ({passed.again.operation.code})" if passed.again else text
            code = passed.job_operation.operation.code
            found.append(_decided(row, code, text, passed.reason or row.reason))
    return found


def _decided(row: RevisionDecision, code: str, text: str, reason: str) -> Change:
    words = {"old": row.from_revision.revision, "new": row.to_revision.revision}
    return Change(
        kind="revision",
        name=_("Revision %(old)s → %(new)s") % words,
        operation=code,
        checkpoint="",
        text=text,
        reason=reason,
        person=row.person,
        second=row.second,
        at=row.decided_at,
    )


def _kit_decisions(record: JobRecord) -> list[Change]:
    """What was decided about the car's parts when a newer kit list came."""
    found = []
    for row in record.kit_decisions:
        words = {"old": row.from_revision, "new": row.to_revision.revision}
        again = ", ".join(f"{code} → {now}" for code, now in row.again.items())
        text = str(row.get_answer_display())
        found.append(
            Change(
                kind="kit_list",
                name=_("Kit list %(old)s → %(new)s") % words,
                operation="",
                checkpoint="",
                text=f"{text} ({again})" if again else text,
                reason=row.reason,
                person=row.person,
                second=row.second,
                at=row.decided_at,
            )
        )
    return found


def _omissions(record: JobRecord) -> list[Change]:
    return [
        Change(
            kind="omission",
            name=_("Not applicable"),
            operation=row.job_operation.operation.code,
            checkpoint="",
            text=row.job_operation.operation.title,
            reason=row.reason,
            person=row.person,
            second=row.second,
            at=row.omitted_at,
            ended=_("taken back") if row.taken_back_at else "",
        )
        for row in record.omissions
    ]


def _additions(record: JobRecord) -> list[Change]:
    return [
        Change(
            kind="addition",
            name=_("Done once more") if o.repeats else _("Operation added"),
            operation=o.code,
            checkpoint="",
            text=_added_words(o, row),
            reason=row.reason,
            person=row.person,
            second=None,
            at=row.added_at,
        )
        for o in record.operations
        if (row := o.addition) is not None
    ]


def _added_words(operation: OperationStanding, row: Addition) -> str:
    words = {"title": operation.operation.title, "code": operation.repeats}
    text = _("%(title)s (%(code)s)") % words if operation.repeats else operation.operation.title
    if row.extra_work is None:
        return text
    return _("%(text)s, extra work %(number)d") % {"text": text, "number": row.extra_work.number}

"""Putting people onto cars and operations, and taking them off again. It only tells; it gives no leave."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.models import Assignment, Job, JobOperation, OperationState
from shop.actions import TURN_ROLES
from shop.events import append, lock_stream
from shop.models import Person

DONE = frozenset({OperationState.FINISHED, OperationState.NOT_APPLICABLE})


class CannotAssignError(Exception):
    """It may not be so; `field` names what is to be changed, `message` says why."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field, self.message = field, message


@transaction.atomic
def assign(
    job: Job, person: Person, *, operation: JobOperation | None = None, by: Person, now: dt.datetime
) -> Assignment:
    """Put somebody onto a car, or onto one operation of it; twice is once.

    Raises:
        CannotAssignError: the car was handed over, the operation is done, or they take no turns here.
    """
    lock_stream(job.stream)
    if Job.objects.filter(pk=job.pk).exclude(released_at=None).exists():
        raise CannotAssignError("", _("Job %(number)d is released") % {"number": job.number})
    if not person.is_active or person.role not in TURN_ROLES:
        raise CannotAssignError("person", _("%(name)s does not work on cars") % {"name": person})
    if operation is not None and operation.state in DONE:
        words = {"code": operation.operation.code, "state": operation.get_state_display()}
        raise CannotAssignError("operation", _("%(code)s is %(state)s") % words)
    known = Assignment.objects.filter(job=job, job_operation=operation, person=person, ended_at=None).first()
    if known is not None:
        return known
    made = Assignment.objects.create(job=job, job_operation=operation, person=person, made_by=by, made_at=now)
    _tell("job.assigned", made, by, now)
    return made


@transaction.atomic
def take_off(assignment: Assignment, *, by: Person, now: dt.datetime) -> None:
    """Take somebody off; doing it twice changes nothing."""
    lock_stream(assignment.job.stream)
    if Assignment.objects.filter(pk=assignment.pk, ended_at=None).update(ended_at=now):
        assignment.ended_at = now
        _tell("job.taken_off", assignment, by, now)


def assignments_of(jobs: Iterable[Job]) -> dict[int, tuple[Assignment, ...]]:
    """Who is put onto which of these cars now, by the key of the job, in one query.

    Who was put onto an operation that is done meanwhile is not on it any more.
    """
    found: dict[int, list[Assignment]] = defaultdict(list)
    rows = Assignment.objects.filter(job__in=[job.pk for job in jobs], ended_at=None, person__is_active=True)
    for row in rows.exclude(job_operation__state__in=DONE).select_related(
        "person", "job", "job_operation__operation"
    ):
        found[row.job_id].append(row)
    return {key: tuple(of_job) for key, of_job in found.items()}


def _tell(kind: str, row: Assignment, by: Person, now: dt.datetime) -> None:
    operation = row.job_operation.operation.code if row.job_operation else ""
    data = {"by": by.pk, "person": row.person_id, "assignment": row.pk, "operation": operation}
    append(stream=row.job.stream, kind=kind, data=data, now=now)

"""How far a car is: its operations as marks on the steel rule, and the sentence about where it is."""

import datetime as dt

from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.desk.rule_picture import LARGE, Mark, OperationMark, RulePicture, Size, StageMarks, draw_rule
from jobs.gates.conditions import reasons_against_starting
from jobs.models import OperationState, Stage
from jobs.record import JobRecord, OperationStanding


def rule_of(record: JobRecord, *, now: dt.datetime, size: Size = LARGE) -> RulePicture:
    """The rule of one car; on the large one each operation leads to its page."""
    return draw_rule(
        [
            StageMarks(
                str(stage.label),
                [_mark(record, o, now, size) for o in record.operations if o.operation.stage == stage],
            )
            for stage in Stage
        ],
        size=size,
    )


def mark_of(record: JobRecord, operation: OperationStanding, *, now: dt.datetime) -> Mark:
    """How one operation stands. What does not conform comes before everything else."""
    if operation.state == OperationState.NOT_APPLICABLE:
        return Mark.NOT_APPLICABLE
    if any(n.job_operation_id == operation.job_operation.pk for n in record.open_nonconformances):
        return Mark.NONCONFORMANCE
    if operation.is_done:
        return Mark.DONE
    if operation.is_in_work:
        return Mark.IN_WORK
    if operation is record.in_hand and reasons_against_starting(record, operation, now=now):
        return Mark.BLOCKED
    return Mark.WAITING


def where_is_it(record: JobRecord) -> str:
    """The answer to the customer who calls: one sentence."""
    job, operation = record.job, record.in_hand
    if job.is_released:
        return _("Released and handed over.")
    place = _("in bay %(bay)s") % {"bay": job.bay} if job.bay else _("not in a bay")
    words = {"place": place, "stands": job.get_stands_display()}
    if operation is None:
        return _("The car is %(place)s, %(stands)s; all work is done and it waits to be released.") % words
    words |= {
        "stage": operation.operation.get_stage_display(),
        "code": operation.code,
        "title": operation.operation.title,
    }
    if operation.is_in_work:
        return _("The car is %(place)s, %(stands)s, in %(stage)s: %(code)s %(title)s is in work.") % words
    return _("The car is %(place)s, %(stands)s, before %(stage)s: %(code)s %(title)s comes next.") % words


def _mark(record: JobRecord, operation: OperationStanding, now: dt.datetime, size: Size) -> OperationMark:
    url = reverse("jobs:job_operation", args=[record.job.number, operation.code]) if size is LARGE else ""
    return OperationMark(
        operation.code,
        operation.operation.title,
        mark_of(record, operation, now=now),
        hold_point=operation.operation.is_hold_point,
        url=url,
    )

"""When a job will need something: one question, asked in one place."""

import datetime as dt

from jobs.record import JobRecord, OperationStanding
from shop.working_time import after_working_minutes


def minutes_before(record: JobRecord, operation: OperationStanding) -> int:
    """Standard minutes of everything that is not done and lies before an operation."""
    return sum(
        o.operation.standard_minutes
        for o in record.operations
        if o.position < operation.position and not o.is_done
    )


def need_date(record: JobRecord, operation: OperationStanding, *, now: dt.datetime) -> dt.date:
    """The shop's day on which an operation is reached if work goes on from `now` without a wait."""
    return after_working_minutes(
        now, minutes_before(record, operation), hours=record.settings.hours, zone=record.zone
    ).date()


def ready_date(record: JobRecord, *, now: dt.datetime) -> dt.date:
    """The shop's day on which the last operation is done if work goes on without a wait."""
    left = sum(o.operation.standard_minutes for o in record.operations if not o.is_done)
    return after_working_minutes(now, left, hours=record.settings.hours, zone=record.zone).date()

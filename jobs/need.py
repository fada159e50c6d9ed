"""When a job will need something: one question, asked in one place.

The plan in force answers; where it knows nothing of a car, or there is none, the car goes on without a wait.
"""

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
    """The shop's day on which an operation is to begin by the plan; never a day that is past."""
    planned = record.planned.starts.get(operation.job_operation.pk)
    if planned is not None:
        return max(planned, now).astimezone(record.zone).date()
    return after_working_minutes(
        now, minutes_before(record, operation), hours=record.settings.hours, zone=record.zone
    ).date()


def is_planned(record: JobRecord) -> bool:
    """Whether the plan in force has this car."""
    return record.planned.ready is not None


def ready_date(record: JobRecord, *, now: dt.datetime) -> dt.date:
    """The shop's day on which the car is ready by the plan; never a day that is past."""
    if record.planned.ready is not None:
        return max(record.planned.ready, now).astimezone(record.zone).date()
    left = sum(o.operation.standard_minutes for o in record.operations if not o.is_done)
    return after_working_minutes(now, left, hours=record.settings.hours, zone=record.zone).date()

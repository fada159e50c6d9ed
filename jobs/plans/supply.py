"""When the parts of each operation are here, as the plan counts with it, and what it takes for granted."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.planning.plan import Fault
from jobs.plans.hours import midnight
from jobs.record import JobRecord
from parts.standing import LineStanding
from shop.days import day_words

# Where nobody knows a day: as long as parts usually take, and as long as counting them does.
NO_DATE = dt.timedelta(days=14)
OVERDUE = dt.timedelta(days=1)
# What comes on a day is counted in by its end: work that needs it begins on the next, as the gate asks
# (`parts/in_time.py`).
COUNTED_IN = dt.timedelta(days=1)


@dataclass(frozen=True)
class Supply:
    """The missing parts of one car: from when each operation has its own, and for what it waits."""

    comes: dict[str, dt.datetime]
    waits_for: dict[str, LineStanding]
    faults: tuple[Fault, ...]


def supply_of(record: JobRecord, *, today: dt.date) -> Supply:
    """By the supplier's day, else by the order's; for an unknown or past day a guess that is told."""
    comes: dict[str, dt.datetime] = {}
    waits: dict[str, LineStanding] = {}
    faults: list[Fault] = []
    told: set[tuple[str, str]] = set()
    for line, code in _missing(record):
        day, fault = _day(record, line, today)
        at = midnight(day + COUNTED_IN)
        if code not in comes or at > comes[code]:
            comes[code], waits[code] = at, line
        if fault is not None and (fault.what, fault.operation) not in told:
            told.add((fault.what, fault.operation))
            faults.append(fault)
    return Supply(comes, waits, tuple(faults))


def _missing(record: JobRecord) -> Iterator[tuple[LineStanding, str]]:
    """Missing lines with the operation, not done, that needs them; what is not critical holds nothing up."""
    for line in record.kit.shortages:
        operation = record.still_to_do(line.operation)
        if operation is not None and line.is_critical:
            yield line, operation.code


def _day(record: JobRecord, line: LineStanding, today: dt.date) -> tuple[dt.date, Fault | None]:
    job = record.job
    if line.eta is not None and line.eta >= today:
        return line.eta, None
    where = _("Job %(number)d, %(code)s") % {"number": job.number, "code": line.operation}
    part = f"{line.part_number} {line.description}"
    said = {"part": part, "order": job.kit_order.number}
    if line.eta is not None:
        day = today + OVERDUE
        what = _("%(part)s was to come on %(day)s, which is past") % {**said, "day": day_words(line.eta)}
    elif not record.kit.is_counted and job.kit_order.expected_on and job.kit_order.expected_on >= today:
        return job.kit_order.expected_on, None
    elif not record.kit.is_counted and record.kit.has_receipt:
        day, part = today + OVERDUE, ""
        what = _("kit %(order)s is here and not counted") % said
    elif not record.kit.is_counted:
        day, part = today + NO_DATE, ""
        what = _("nobody has said when kit %(order)s comes") % said
    else:
        day = today + NO_DATE
        what = _("%(part)s is missing and nobody has said when it comes") % said
    way_out = _("Note the supplier's day at the parts counter; until then %(day)s is counted with") % {
        "day": day_words(day)
    }
    code = line.operation if part else ""
    return day, Fault(where if part else str(job.number), what, way_out, str(job.number), code)

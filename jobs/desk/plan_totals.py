"""Two plans in three figures each, in the order in which a plan is judged: promises, bays, the end."""

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass

from jobs.desk.plan_lines import gaps_of
from jobs.planning.problem import Calendar
from jobs.plans.comparing import PlanRows
from jobs.plans.hours import Clock
from jobs.plans.why import working_minutes


@dataclass(frozen=True)
class PlanTotals:
    """Cars that miss their promise, their days late in all, hours of work for which cars stand in a bay
    with nothing done to them, and the day on which the last is ready."""

    late: int
    days_late: int
    standing_hours: int
    last: dt.date | None

    @classmethod
    def of(cls, rows: PlanRows, calendar: Calendar) -> "PlanTotals":
        """One query, for the stays."""
        ready = [(rows.day(row.ready_at), row.promised_on) for row in rows.cars.values()]
        late = [(day - promised).days for day, promised in ready if promised and day > promised]
        last = max((day for day, _promised in ready), default=None)
        return cls(len(late), sum(late), round(_standing_minutes(rows, calendar) / 60), last)


def _standing_minutes(rows: PlanRows, calendar: Calendar) -> int:
    clock, worked = Clock(rows.zone), defaultdict(list)
    for one in rows.operations.values():
        key = (one.job_operation.job_id, one.bay_id)
        worked[key].append((clock.local(one.starts_at), clock.local(one.ends_at)))
    minutes = 0
    for stay in rows.plan.stays.all():
        whole = clock.local(stay.starts_at), clock.local(stay.ends_at)
        gaps = gaps_of(whole, worked[stay.job_id, stay.bay_id])
        minutes += sum(working_minutes(calendar, *gap) for gap in gaps)
    return minutes

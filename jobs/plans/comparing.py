"""Two plans side by side: which cars move, which promises they touch, what moves on the coming days."""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property
from zoneinfo import ZoneInfo

from jobs.models import Job, PlannedCar, PlannedOperation, StoredPlan

# Moves of operations are told one by one for so many days; after that only the cars' dates.
NEAR = dt.timedelta(days=7)


@dataclass(frozen=True)
class PlanRows:
    """One plan with its rows, in two queries; without its work in one."""

    plan: StoredPlan
    cars: dict[int, PlannedCar]
    operations: dict[tuple[int, str], PlannedOperation]
    zone: ZoneInfo

    @classmethod
    def load(cls, plan: StoredPlan, *, zone: ZoneInfo, with_work: bool = True) -> "PlanRows":
        cars = plan.cars.select_related("job__vehicle", "job__customer")
        operations = plan.operations.select_related(
            "job_operation__operation", "job_operation__job", "person", "bay"
        )
        if not with_work:
            operations = operations.none()
        return cls(
            plan,
            {row.job_id: row for row in cars},
            {(row.job_operation_id, row.part): row for row in operations},
            zone,
        )

    def day(self, at: dt.datetime) -> dt.date:
        return at.astimezone(self.zone).date()


@dataclass(frozen=True)
class CarMove:
    """A car whose date is another one."""

    job: Job
    before: dt.date | None
    after: dt.date
    promised: dt.date | None
    why: tuple[str, ...]

    @property
    def days(self) -> int:
        """Days later; earlier where negative."""
        return (self.after - self.before).days if self.before else 0

    @property
    def days_late(self) -> int:
        return max(0, (self.after - self.promised).days) if self.promised else 0

    @property
    def was_late(self) -> int:
        return max(0, (self.before - self.promised).days) if self.promised and self.before else 0

    @property
    def touches_promise(self) -> bool:
        return self.days_late != self.was_late

    @property
    def breaks_promise(self) -> bool:
        return bool(self.days_late) and not self.was_late

    @property
    def saves_promise(self) -> bool:
        return bool(self.was_late) and not self.days_late


@dataclass(frozen=True)
class WorkMove:
    """An operation that is done at another time, by somebody else or in another bay."""

    before: PlannedOperation
    after: PlannedOperation

    @property
    def other_person(self) -> bool:
        return self.before.person_id != self.after.person_id

    @property
    def other_bay(self) -> bool:
        return self.before.bay_id != self.after.bay_id

    @property
    def other_time(self) -> bool:
        return self.before.starts_at != self.after.starts_at


@dataclass(frozen=True)
class Comparison:
    """What changes if `after` takes the place of `before`."""

    before: PlanRows
    after: PlanRows

    @cached_property
    def cars(self) -> tuple[CarMove, ...]:
        """Cars with another date or a new one, those whose promise is touched first."""
        found = []
        for key, row in self.after.cars.items():
            old = self.before.cars.get(key)
            move = CarMove(
                row.job,
                self.before.day(old.ready_at) if old else None,
                self.after.day(row.ready_at),
                row.promised_on,
                tuple(row.why),
            )
            if move.before != move.after:
                found.append(move)
        return tuple(sorted(found, key=lambda m: (not m.touches_promise, -abs(m.days), m.job.number)))

    @property
    def promises(self) -> tuple[CarMove, ...]:
        return tuple(move for move in self.cars if move.touches_promise)

    @cached_property
    def work(self) -> tuple[WorkMove, ...]:
        """What of the coming days moves, in the order in which it was to be done."""
        until = self.after.plan.made_at + NEAR
        pairs = (
            WorkMove(old, new)
            for key, old in self.before.operations.items()
            if (new := self.after.operations.get(key)) is not None and not key[1]
            if min(old.starts_at, new.starts_at) < until
        )
        moved = (m for m in pairs if m.other_person or m.other_bay or m.other_time)
        return tuple(sorted(moved, key=lambda m: (m.before.starts_at, m.before.pk)))

    @property
    def changes_anything(self) -> bool:
        return bool(self.cars or self.work)

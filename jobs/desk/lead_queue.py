"""What waits for a lead across all cars, each with the place where it is done."""

import datetime as dt
from dataclasses import dataclass

from django.urls import reverse

from jobs.desk.waiting import Wait, What, waits_of
from jobs.gates.conditions import reasons_against_release
from jobs.models import Job
from jobs.record import JobRecord

# What a lead clears; gates and parts are shown with their cars.
SHOWN = frozenset({What.PROBLEM, What.TOO_CLOSE, What.WITNESS, What.WELD, What.HOLD_POINT, What.REVISION})


@dataclass(frozen=True)
class Queued:
    """One thing that waits, with its car."""

    wait: Wait
    record: JobRecord

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def href(self) -> str:
        where = reverse("jobs:job_operation", args=[self.job.number, self.wait.operation.code])
        return self.wait.page or f"{where}#{self.wait.at}"


@dataclass(frozen=True)
class LeadQueue:
    """Everything that waits for a second pair of eyes, the longest wait first."""

    queued: tuple[Queued, ...]
    to_release: tuple[JobRecord, ...] = ()

    @classmethod
    def load(cls, *, now: dt.datetime) -> "LeadQueue":
        jobs = list(Job.objects.on_the_floor().with_car().order_by("number"))
        records = JobRecord.load_many(jobs)
        found = [Queued(w, records[job.pk]) for job in jobs for w in waits_of(records[job.pk], now=now)]
        ready = (r for job in jobs if (r := records[job.pk]).in_hand is None)
        return cls(
            tuple(sorted(found, key=lambda q: (q.wait.since or now, q.job.number))),
            tuple(record for record in ready if not reasons_against_release(record, now=now)),
        )

    def _of(self, what: What) -> tuple[Queued, ...]:
        return tuple(q for q in self.queued if q.wait.what == what)

    @property
    def problems(self) -> tuple[Queued, ...]:
        return self._of(What.PROBLEM)

    @property
    def too_close(self) -> tuple[Queued, ...]:
        return self._of(What.TOO_CLOSE)

    @property
    def witnesses(self) -> tuple[Queued, ...]:
        return self._of(What.WITNESS)

    @property
    def welds(self) -> tuple[Queued, ...]:
        return self._of(What.WELD)

    @property
    def revisions(self) -> tuple[Queued, ...]:
        """Cars about which somebody has to decide since their revision or kit list was superseded."""
        return self._of(What.REVISION)

    @property
    def hold_points(self) -> tuple[Queued, ...]:
        return self._of(What.HOLD_POINT)

    @property
    def is_empty(self) -> bool:
        return not self.to_release and all(q.wait.what not in SHOWN for q in self.queued)

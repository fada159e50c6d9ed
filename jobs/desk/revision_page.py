"""What a newer revision means for the cars on the floor: for one car, and for all of them."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from jobs.desk.revision_form import RevisionDecisionForm
from jobs.models import Job, Procedure, ProcedureRevision, RevisionDecision
from jobs.procedures.car_change import Between, CarChange, car_change
from jobs.record import JobRecord
from jobs.superseded import successor_of
from shop.models import Person
from shop.revisions import RevisionState


@dataclass(frozen=True)
class CarRevisionPage:
    """One car: what the newer revision changes for it, what was decided, and the form for a lead."""

    record: JobRecord
    change: CarChange | None
    form: RevisionDecisionForm | None

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def decisions(self) -> tuple[RevisionDecision, ...]:
        return tuple(reversed(self.record.decisions))

    @property
    def is_undecided(self) -> bool:
        return self.record.superseded is not None


def car_revision_page(job: Job, *, viewer: Person) -> CarRevisionPage:
    """The page of one car; no form where nothing newer is released, or for whoever may not decide."""
    record = JobRecord.load(job)
    new = successor_of(job)
    if new is None:
        return CarRevisionPage(record, None, None)
    change = car_change(record, Between.of(job.procedure_revision, new))
    form = RevisionDecisionForm(record, "revision", second=change.touches_safety) if viewer.is_lead else None
    return CarRevisionPage(record, change, form)


@dataclass(frozen=True)
class CarOnFloor:
    """A car of a procedure, with what the revision in question changes for it."""

    record: JobRecord
    change: CarChange | None

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def is_undecided(self) -> bool:
        return self.record.superseded is not None

    @property
    def decision(self) -> RevisionDecision | None:
        return self.record.decisions[-1] if self.record.decisions else None


@dataclass(frozen=True)
class ProcedureFloorPage:
    """Every car on the floor that is built by one procedure, those that wait for a decision first."""

    procedure: Procedure
    in_force: ProcedureRevision | None
    cars: tuple[CarOnFloor, ...]

    @property
    def undecided(self) -> tuple[CarOnFloor, ...]:
        return tuple(car for car in self.cars if car.is_undecided)


def procedure_floor_page(procedure: Procedure) -> ProcedureFloorPage:
    """The cars of a procedure against the revision in force."""
    in_force = (
        procedure.revisions.filter(state=RevisionState.RELEASED, for_job=None)
        .select_related("procedure")
        .first()
    )
    cars = cars_against(procedure, in_force)
    return ProcedureFloorPage(procedure, in_force, tuple(sorted(cars, key=lambda car: not car.is_undecided)))


def cars_against(procedure: Procedure, new: ProcedureRevision | None) -> tuple[CarOnFloor, ...]:
    """Every car on the floor of a procedure with what `new` changes for it; a draft may be asked about."""
    jobs = Job.objects.on_the_floor().with_car().filter(procedure_revision__procedure=procedure)
    records = JobRecord.load_many(jobs.order_by("number"))
    between: dict[int, Between] = {}
    return tuple(_car(record, new, between) for record in records.values())


def _car(record: JobRecord, new: ProcedureRevision | None, between: dict[int, Between]) -> CarOnFloor:
    old = record.job.procedure_revision
    if new is None or old.pk == new.pk:
        return CarOnFloor(record, None)
    if old.pk not in between:
        between[old.pk] = Between.of(old, new)
    return CarOnFloor(record, car_change(record, between[old.pk]))


def undecided_of(records: Iterable[JobRecord]) -> tuple[tuple[JobRecord, dt.datetime | None], ...]:
    """The cars that wait for a decision about a revision, each with the time since when."""
    return tuple((r, r.superseded.new.released_at) for r in records if r.superseded is not None)

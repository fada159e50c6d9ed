"""A car that is not here yet as a planning job: by a released procedure, its kit coming after a lead time."""

import datetime as dt
from dataclasses import replace

from jobs.fetching import fetch
from jobs.models import Checkpoint, Job, JobOperation, ProcedureRevision, Stands
from jobs.planning import problem as planning
from jobs.plans.car_work import CarWork
from jobs.plans.shop_state import ShopState
from jobs.record import CheckpointStanding, JobRecord, OperationStanding
from parts.models import KitRevision
from parts.standing import LineStanding, OrderStanding
from shop.models import Vehicle
from shop.revisions import RevisionState

# No job has this number.
NUMBER = 0
NAME = str(NUMBER)


def newcomer(
    state: ShopState, revision: ProcedureRevision, *, kit_on: dt.date, now: dt.datetime
) -> tuple[planning.Job, CarWork]:
    """The job, and what its operations are. In a fixed number of queries."""
    record = _record(state, revision, kit_on)
    work = CarWork(state, record, set())
    return work.job(now), work


def _record(state: ShopState, revision: ProcedureRevision, kit_on: dt.date) -> JobRecord:
    car = Vehicle(description=revision.procedure.vehicle_family)
    job = Job(number=NUMBER, procedure_revision=revision, vehicle=car, stands=Stands.ON_WHEELS)
    checkpoints: dict[int, list[Checkpoint]] = {}
    for one in Checkpoint.objects.filter(operation__revision=revision).order_by("position"):
        checkpoints.setdefault(one.operation_id, []).append(one)
    operations = []
    for operation in revision.operations.order_by("position"):
        row = JobOperation(job=job, operation=operation, position=operation.position)
        standing = tuple(CheckpointStanding(one, row, ()) for one in checkpoints.get(operation.pk, ()))
        operations.append(OperationStanding(row, operation, standing))
    nothing = fetch([])
    own = replace(
        nothing, operations={job.pk: tuple(operations)}, kits={job.kit_order_id: _kit(revision, kit_on)}
    )
    return JobRecord.of(job, own, state.settings)


def _kit(revision: ProcedureRevision, kit_on: dt.date) -> OrderStanding:
    """All of the newest released kit of the procedure, to come on one day."""
    kit = (
        KitRevision.objects.filter(kit__code=revision.procedure.kit_code, state=RevisionState.RELEASED)
        .order_by("-released_at", "-pk")
        .first()
    )
    lines = tuple(
        LineStanding(
            kit_line_id=line.pk,
            part_number=line.part_number,
            description=line.description,
            side=line.side,
            operation=line.operation,
            is_critical=line.is_critical,
            ordered=line.quantity,
            told_eta=kit_on,
        )
        for line in (kit.lines.all() if kit else ())
    )
    return OrderStanding("", lines, (), has_slip=False, has_receipt=False, is_counted=False)

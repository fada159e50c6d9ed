"""A plan out of the search as rows of the record's operations, cars, people and bays."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import asdict, fields
from typing import Any

from django.db import transaction

from jobs.models import (
    PlannedCar,
    PlannedOperation,
    PlannedStay,
    PlanOrigin,
    PlanSearch,
    PlanState,
    StoredPlan,
)
from jobs.planning.plan import Assignment, Fault, Proposal
from jobs.plans.forecasting import CarForecast
from jobs.plans.mapping import Mapped
from jobs.plans.shop_state import ShopState
from jobs.plans.why import Reasons, holds_of


@transaction.atomic
def store(
    proposal: Proposal,
    mapped: Mapped,
    state: ShopState,
    *,
    origin: PlanOrigin,
    now: dt.datetime,
    becomes: PlanState = PlanState.FOUND,
    search: PlanSearch | None = None,
    forecasts: Mapping[str, CarForecast] | None = None,
) -> StoredPlan:
    """The proposal as a plan that was found, or that is the best so far; others decide what becomes of it."""
    plan = StoredPlan.objects.create(
        state=becomes,
        origin=origin,
        search=search,
        made_at=now,
        objective=proposal.objective,
        bound=proposal.bound,
        is_proven=proposal.proven,
        faults=[_fault(one) for one in _once((*mapped.faults, *proposal.faults))],
        clashing_pins=list(proposal.clashing_pins),
        moved=list(proposal.moved),
    )
    writer = _Writer(plan, proposal, mapped, state)
    PlannedOperation.objects.bulk_create(writer.operations())
    PlannedStay.objects.bulk_create(writer.stays())
    PlannedCar.objects.bulk_create(writer.cars(forecasts or {}))
    return plan


@transaction.atomic
def redate(plan: StoredPlan, forecasts: Mapping[str, CarForecast]) -> None:
    """What the dates of a stored plan are worth, worked out again; a car without a forecast keeps its own."""
    rows = [row for row in plan.cars.select_related("job").order_by("pk") if str(row.job.number) in forecasts]
    for row in rows:
        for name, value in asdict(forecasts[str(row.job.number)]).items():
            setattr(row, name, value)
    if rows:
        PlannedCar.objects.bulk_update(rows, [one.name for one in fields(CarForecast)])


def _once(faults: Iterable[Fault]) -> list[Fault]:
    return list(dict.fromkeys(faults))


def _fault(one: Fault) -> dict[str, Any]:
    return {
        "where": one.where,
        "what": one.what,
        "way_out": one.way_out,
        "job": one.job,
        "operation": one.operation.partition("/")[2] or one.operation,
    }


class _Writer:
    """Names of the problem back to the rows that they stand for."""

    def __init__(self, plan: StoredPlan, proposal: Proposal, mapped: Mapped, state: ShopState) -> None:
        self.plan, self.mapped, self.state = plan, mapped, state
        self.found, self.planned = proposal.plan, proposal.planned or mapped.problem
        self.people = {name: key for key, name in state.names.items()}
        self.bays = {str(bay.number): bay.pk for bay in state.bays}
        self.jobs = {str(record.job.number): record.job for record in state.records}

    def operations(self) -> list[PlannedOperation]:
        rows = []
        for one in self.found.assignments:
            names: list[str | None] = [name for name in (one.person, *one.others) if name]
            rows += [self._operation(one, name) for name in names or [None]]
        return rows

    def _operation(self, one: Assignment, name: str | None) -> PlannedOperation:
        whose = self.mapped.whose[one.op]
        planned = self.planned.operation[one.op]
        return PlannedOperation(
            plan=self.plan,
            job_operation=whose.standing.job_operation,
            part=whose.part,
            person_id=self.people.get(name) if name else None,
            bay_id=self.bays.get(one.bay) if one.bay else None,
            starts_at=self.state.clock.moment(one.start),
            ends_at=self.state.clock.moment(one.end),
            minutes=planned.work_minutes,
            skill=planned.skill or "",
        )

    def stays(self) -> list[PlannedStay]:
        return [
            PlannedStay(
                plan=self.plan,
                job=self.jobs[hold.job],
                bay_id=self.bays[hold.bay],
                starts_at=self.state.clock.moment(hold.starts),
                ends_at=self.state.clock.moment(hold.ends),
            )
            for hold in holds_of(self.planned, self.found)
        ]

    def cars(self, forecasts: Mapping[str, CarForecast]) -> list[PlannedCar]:
        reasons = Reasons(self.planned, self.found, self.mapped.supplies)
        return [
            PlannedCar(
                plan=self.plan,
                job=self.jobs[one.job],
                ready_at=self.state.clock.moment(one.finish),
                promised_on=self.jobs[one.job].promised_on,
                why=reasons.of(one.job),
                **(asdict(forecasts[one.job]) if one.job in forecasts else {}),
            )
            for one in self.found.jobs
            if one.job in self.jobs
        ]

"""From the shop's state to a planning problem, with what it takes for granted in words."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _

from jobs.models import PinKind
from jobs.planning import problem as planning
from jobs.planning.plan import Fault
from jobs.plans.car_work import CarWork, Whose
from jobs.plans.crew import bay_name, bays_of, calendars_of, instruments_of, out_of_calibration, people_of
from jobs.plans.granted import granted, lacking
from jobs.plans.hours import UnknownHolidaysError, midnight, public_holidays
from jobs.plans.route import Route
from jobs.plans.shop_state import ShopState
from jobs.plans.supply import Supply
from shop.days import day_words

# Beyond this many cars a plan is searched for all the same, but it is said that it takes its time.
MANY_CARS = 150

KIND_OF_PIN = {
    PinKind.BAY: planning.PinKind.BAY,
    PinKind.PERSON: planning.PinKind.PERSON,
    PinKind.NOT_BEFORE: planning.PinKind.NOT_BEFORE,
    PinKind.NEXT_UP: planning.PinKind.NEXT_UP,
}


@dataclass(frozen=True)
class Mapped:
    """The problem, whose operation each of its operations is, and what was taken for granted."""

    problem: planning.Problem
    whose: Mapping[str, Whose]
    supplies: Mapping[str, Supply]
    faults: tuple[Fault, ...]


def problem_of(state: ShopState) -> Mapped:
    """Everything on the floor as one problem. It asks the database nothing."""
    now = state.clock.quarter_after(state.now)
    busy: set[int] = set()
    cars = [CarWork(state, record, busy) for record in state.records]
    jobs = tuple(car.job(now) for car in cars)
    problem = planning.Problem(
        name=state.settings.name,
        now=now,
        calendars=calendars_of(state),
        bays=bays_of(state, [car.record.job for car in cars if car.route.holds_its_bay]),
        people=people_of(state),
        jobs=tuple(job for job in jobs if job.operations),
        instruments=instruments_of(state),
        pins=tuple(_pins(state, jobs)),
        weights=planning.SHOP,
        calm=_calm(state, now),
    )
    whose = {key: value for car in cars for key, value in car.whose.items()}
    supplies = {car.route.job_id: car.supply for car in cars}
    features = state.settings.stage_features
    of_cars = (
        f for car in cars for f in (*car.supply.faults, *granted(car.route), *lacking(car.route, features))
    )
    faults = (*of_cars, *_taken_for_granted(state, cars))
    return Mapped(problem, whose, supplies, faults)


def pin_id(key: int) -> str:
    return f"pin {key}"


def _pins(state: ShopState, jobs: tuple[planning.Job, ...]) -> Iterator[planning.Pin]:
    """Pins of what is still to come; one on somebody who has left or on what is done is passed over."""
    open_ones = {one.id: one for job in jobs for one in job.operations}
    known_bays = {bay_name(bay) for bay in state.bays if bay.is_open}
    for row in state.pins:
        operation = f"{row.job.number}/{row.job_operation.operation.code}" if row.job_operation else ""
        if operation and operation not in open_ones:
            continue
        person = state.names.get(row.person_id, "") if row.person_id else ""
        bay = bay_name(row.bay) if row.bay else ""
        if (row.person_id and not person) or (bay and bay not in known_bays):
            continue
        yield planning.Pin(
            id=pin_id(row.pk),
            kind=KIND_OF_PIN[PinKind(row.kind)],
            job="" if operation else str(row.job.number),
            operation=operation,
            bay=bay,
            person=person,
            at=midnight(row.not_before) if row.not_before else None,
        )


def _calm(state: ShopState, now: dt.datetime) -> planning.Calm | None:
    """What the plan in force says of the coming days."""
    if state.plan is None:
        return None
    numbers = {record.job.pk: record.job.number for record in state.records}
    bays = {bay.pk: bay_name(bay) for bay in state.bays}
    starts, people, places = {}, {}, {}
    for row in state.planned:
        number = numbers.get(row.job_operation.job_id)
        if number is None:
            continue
        key = f"{number}/{row.job_operation.operation.code}{' ' if row.part else ''}{row.part}"
        starts[key] = state.clock.local(row.starts_at)
        places[key] = bays.get(row.bay_id) if row.bay_id else None
        if row.person_id and row.person_id in state.names:
            people[key] = state.names[row.person_id]
    until = now + dt.timedelta(days=planning.CALM_DAYS)
    return planning.Calm(until, planning.CALM_PRICE, starts, people, places)


def _taken_for_granted(state: ShopState, cars: list[CarWork]) -> Iterator[Fault]:
    yield from _holidays(state)
    for row in out_of_calibration(state):
        kind = str(row.get_kind_display())
        others = [one for one in state.instruments if one.kind == row.kind and one.pk != row.pk]
        if not any(one.is_in_calibration(on=state.today) for one in others):
            what = _("no %(kind)s is in calibration; %(code)s is counted as back in a week") % {
                "kind": kind,
                "code": row.code,
            }
            yield Fault(str(row), what, _("Have it calibrated, and note the calibration"))
    yield from _closures(state, cars)
    if len(cars) > MANY_CARS:
        what = _("%(cars)d cars are here; a search looks at them in parts") % {"cars": len(cars)}
        yield Fault(state.settings.name, what, _("Release the cars that were handed over"))


def _holidays(state: ShopState) -> Iterator[Fault]:
    place = state.settings.holiday_country, state.settings.holiday_subdivision
    try:
        public_holidays(*place, [state.today.year])
    except UnknownHolidaysError:
        what = _("nobody knows the public holidays of %(place)s") % {"place": " ".join(place)}
        yield Fault(state.settings.name, what, _("Choose country and state in the settings of the shop"))


def _closures(state: ShopState, cars: list[CarWork]) -> Iterator[Fault]:
    """Closures of bays that a car cannot leave."""
    held = {car.record.job.bay_id: car.route for car in cars if car.route.holds_its_bay}
    for bay in state.bays:
        route: Route | None = held.get(bay.pk)
        for closure in bay.closures.all() if route else ():
            if closure.last_day >= state.today and route is not None:
                what = _("is to be closed from %(day)s, and job %(job)s cannot leave it") % {
                    "day": day_words(closure.first_day),
                    "job": route.job_id,
                }
                way_out = _("It is planned as open. Put the closure off, or free the bay before it")
                yield Fault(_("Bay %(bay)s") % {"bay": bay}, what, way_out, route.job_id)

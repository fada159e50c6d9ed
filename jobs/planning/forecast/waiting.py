"""Start a car whose kit is not complete, wait for the part, or take another car first.

What counts is the time for which the car holds a bay, or has it kept free, and nothing is done in it: in
working days of the shop, sample by sample under the same luck for each way.
"""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from jobs.planning.forecast.draws import Draws, Uncertainty
from jobs.planning.forecast.hours import Clock, Times
from jobs.planning.forecast.outlook import Run, played
from jobs.planning.plan import Plan
from jobs.planning.problem import Job, Operation, Pin, PinKind, Problem

Planner = Callable[[Problem], Plan]
Days = npt.NDArray[np.float64]
SAMPLES = 2000


class Way(StrEnum):
    """What can be done with a car whose kit is short."""

    START = "start"
    WAIT = "wait"
    OTHER_FIRST = "other first"


@dataclass(frozen=True)
class Prospect:
    """One way: working days for which the bay is held without work, and when the car is ready.

    `chance_kept` is the mean chance over all promises of the shop. `first` is the car that goes first.
    """

    way: Way
    blocked: Days
    likely: dt.date
    safe: dt.date
    chance_kept: float
    first: str = ""

    @property
    def expected(self) -> float:
        return float(np.mean(self.blocked))

    @property
    def likely_worst(self) -> float:
        """Four samples of five block the bay for no longer."""
        return float(np.quantile(self.blocked, 0.8, method="higher"))


def prospects(
    problem: Problem, job: str, *, planner: Planner, about: Uncertainty, seed: int = 0
) -> list[Prospect]:
    """The ways that there are, the one that blocks least first; ties go to the earlier date.

    Raises:
        ValueError: the job waits for no part, or it stands in a bay already.
    """
    car = problem.job[job]
    short = [one for one in car.operations if one.parts_at is not None and one.parts_at > problem.now]
    if not short:
        raise ValueError(f"{job} waits for no part")
    if any(segment.bay for segment in car.segments):
        raise ValueError(f"{job} has its bay already")
    latest = max(short, key=lambda one: one.parts_at or problem.now)
    draws = Draws(_same_supplier(about, car, latest), SAMPLES, seed)
    plan = planner(replace(problem, pins=(*problem.pins, Pin("now", PinKind.NEXT_UP, job=job))))
    held = _held(problem, car, latest)
    found = [_prospect(Way.START, problem, plan, draws, job), _prospect(Way.WAIT, held, plan, draws, job)]
    later = planner(held)
    if (first := _goes_first(problem, plan, later, job)) is not None:
        found.append(replace(_prospect(Way.OTHER_FIRST, held, later, draws, job), first=first))
    return sorted(found, key=lambda one: (round(one.expected, 1), one.safe, one.way))


def _held(problem: Problem, car: Job, latest: Operation) -> Problem:
    """The same with all work in a bay waiting for the last part."""
    waits = [
        replace(one, parts_at=latest.parts_at) if one.segment is not None else one for one in car.operations
    ]
    changed = replace(car, operations=tuple(waits))
    return replace(problem, jobs=tuple(changed if one.id == car.id else one for one in problem.jobs))


def _same_supplier(about: Uncertainty, car: Job, latest: Operation) -> Uncertainty:
    """Whoever waits for the last part waits for the same delivery."""
    supplier = about.suppliers.get(latest.id, "")
    suppliers = {**about.suppliers, **{one.id: supplier for one in car.operations}}
    return replace(about, suppliers=suppliers)


def _goes_first(problem: Problem, plan: Plan, later: Plan, job: str) -> str | None:
    """The car that has the bay before this one once it waits, and would have had it after."""
    first = {name: _enters(problem, name, plan) for name in problem.job}
    then = {name: _enters(problem, name, later) for name in problem.job}
    mine, mine_then = first[job], then[job]
    if mine is None or mine_then is None:
        return None
    passing = [
        (at, name)
        for name, at in then.items()
        if at is not None and (was := first[name]) is not None and was[0] > mine[0] and at[0] < mine_then[0]
    ]
    same_bay = [(at, name) for at, name in passing if at[1] == mine[1]]
    return min(same_bay or passing)[1] if passing else None


def _enters(problem: Problem, job: str, plan: Plan) -> tuple[dt.datetime, str] | None:
    stays = [
        (one.start, one.bay)
        for operation in problem.job[job].operations
        if (one := plan.of.get(operation.id)) is not None and one.bay is not None
    ]
    return min(stays) if stays else None


def _prospect(way: Way, problem: Problem, plan: Plan, draws: Draws, job: str) -> Prospect:
    run = played(problem, plan, draws)
    finish = run.finish[job]
    p50, p80 = np.quantile(finish, [0.5, 0.8], method="higher")
    kept = [
        float(np.mean(times <= run.clock.minute(problem.job[name].due))) for name, times in run.finish.items()
    ]
    return Prospect(
        way,
        _blocked(run, job, way),
        run.clock.moment(int(p50)).date(),
        run.clock.moment(int(p80)).date(),
        float(np.mean(kept)),
    )


def _blocked(run: Run, job: str, way: Way) -> Days:
    """Working days for which the car's first bay is held by it, or kept free for it, and nothing is done."""
    stay = next(link.stay for link in run.links if link.job.id == job and link.stay)
    mine = [name for name in stay.operations if name in run.ends]
    leaves = np.maximum.reduce([run.ends[name] for name in mine])
    holds = np.minimum.reduce([run.starts[name] for name in mine])
    if way is Way.WAIT:
        before = stay.earlier.operations if stay.earlier else ()
        ends = [run.ends[name] for name in before if name in run.ends]
        free = np.maximum.reduce(ends) if ends else np.full_like(holds, run.now)
        holds = np.minimum(holds, free)
    worked = _minutes(run, [(run.starts[name], run.ends[name]) for name in mine])
    days: Days = np.maximum(0.0, _minutes(run, [(holds, leaves)]) - worked) / _day(run.clock)
    return days


def _minutes(run: Run, spans: list[tuple[Times, Times]]) -> Days:
    """Working minutes of the shop in all spans together."""
    before = run.clock.hours_of([]).before
    total = np.zeros(run.draws.count)
    for starts, ends in spans:
        total += before[ends].astype(np.int64) - before[starts]
    return total


def _day(clock: Clock) -> float:
    """Working minutes of a usual working day of the shop: the longest of a week."""
    week = [
        sum(shift.ends - shift.starts for shift in shifts)
        for calendar in clock.problem.calendars
        for shifts in calendar.week
    ]
    return float(max(week, default=0) or 480)

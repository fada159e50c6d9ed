"""From a first schedule to a better one: neighbourhoods first, then the whole model where it is small."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from random import Random
from threading import Lock

from jobs.planning.budget import Budget
from jobs.planning.compiled import Car, Compiled, Schedule, car_cost, cost
from jobs.planning.fitting import fits
from jobs.planning.model import Model
from jobs.planning.neighbourhoods import Neighbourhoods
from jobs.planning.problem import NEUTRAL
from jobs.planning.rules import tails
from jobs.planning.solving import Solved, solved

# Up to so many tasks the whole model has its share between neighbourhoods; up to so many, all of the time.
WHOLE_TASKS, SMALL_TASKS = 230, 120
PARTS_SHARE, PARTS_SECONDS, WHOLE_SHARE = 0.15, 5.0, 0.6
STEP_SECONDS, STEP_WORK = 4.0, 0.05


@dataclass
class Best:
    """The best so far: schedule, cost, proven bound if any; `tell` hears of each that is better."""

    schedule: Schedule
    cost: int
    bound: int | None = None
    proven: bool = False
    tell: Callable[[Schedule, int | None], None] | None = None
    lock: Lock = field(default_factory=Lock)

    def take(self, compiled: Compiled, schedule: Schedule) -> None:
        """Takes the schedule where it is better."""
        worth = cost(compiled, schedule)
        with self.lock:
            self._take(schedule, worth)

    def _take(self, schedule: Schedule, worth: int) -> None:
        if worth < self.cost:
            self.schedule, self.cost = schedule, worth
            self.say()

    def say(self) -> None:
        if self.tell:
            self.tell(self.schedule, self.bound)

    def takes_bound(self, bound: int) -> None:
        """No schedule costs less than that."""
        with self.lock:
            if self.bound is None or bound > self.bound:
                self.bound = bound
                self.say()

    def merge(self, compiled: Compiled, base: Schedule, found: Schedule, free: Sequence[int]) -> None:
        """Takes in what was found from an older best: its free tasks, where they fit the best of now."""
        with self.lock:
            if self.schedule is base:
                self._take(found, cost(compiled, found))
                return
            both = self.schedule.copy()
            for index in free:
                both.starts[index], both.ends[index] = found.starts[index], found.ends[index]
                both.modes[index] = found.modes[index]
            for hold in {compiled.tasks[index].hold for index in free} - {-1}:
                both.bays[hold] = found.bays[hold]
            for one in (both, found):
                worth = cost(compiled, one)
                if worth < self.cost and (one is found or fits(compiled, one)):
                    self._take(one, worth)


def improve(compiled: Compiled, best: Best, budget: Budget, random: Random) -> None:
    """Improves until the budget is spent or the best is proven."""
    free = [task.index for task in compiled.tasks if task.fixed is None]
    if not free:
        best.bound, best.proven = best.cost, True
        return
    if len(free) > WHOLE_TASKS:
        _parts(compiled, best, budget, random, lambda: budget.goes_on)
        return
    several = len(free) > SMALL_TASKS and len(compiled.cars) > 1
    if several:
        _parts(compiled, best, budget, random, budget.share(PARTS_SHARE, PARTS_SECONDS))
    if budget.goes_on:
        _whole(compiled, best, budget, WHOLE_SHARE if several else 1.0)
    if several and not best.proven:
        _parts(compiled, best, budget, random, lambda: budget.goes_on)


def _whole(compiled: Compiled, best: Best, budget: Budget, share: float) -> None:
    safe = latest_end(compiled, best.cost)
    limit = min(safe, compiled.horizon - 1)
    # That plans end within the horizon, months away, is a rule of the shop; the neutral form has none.
    holds = safe < compiled.horizon or compiled.problem.weights != NEUTRAL
    model = Model(compiled, best.schedule, range(len(compiled.tasks)), limit, True)
    beside = _beside(compiled, best.schedule)
    run = solved(
        model,
        budget,
        seconds=share * (budget.limits.seconds or float("inf")),
        work=share * (budget.limits.work or float("inf")),
        seed=budget.limits.seed,
        tell=lambda found: best.take(compiled, found),
        tell_bound=(lambda bound: best.takes_bound(bound + beside)) if holds else None,
    )
    if run.schedule is not None:
        best.take(compiled, run.schedule)
    if holds:
        _take_bound(best, run, beside)


def latest_end(compiled: Compiled, worth: int) -> int:
    """No schedule that costs less has an end later than this: so what is proven up to it is proven."""
    tail, weights = tails(compiled), compiled.problem.weights
    soonest = [
        max(
            task.fixed[1] if task.fixed else task.earliest + tail[task.index]
            for task in (compiled.tasks[one] for one in car.tasks)
        )
        for car in compiled.cars
    ]

    def price(car: Car, end: int) -> int:
        return weights.flow * end + weights.late * car.weight * max(0, end - car.due)

    least = [price(car, end) for car, end in zip(compiled.cars, soonest, strict=True)]
    latest = 0
    for car, own in zip(compiled.cars, least, strict=True):
        left = worth - sum(least) + own
        late = weights.late * car.weight
        if not weights.flow and not late:
            return compiled.horizon
        end = left // weights.flow if weights.flow else compiled.horizon
        if late and end > car.due:
            end = max(car.due, (left + late * car.due) // (weights.flow + late))
        latest = max(latest, end)
    return latest


def _beside(compiled: Compiled, schedule: Schedule) -> int:
    """What the cars cost of which nothing is free: they are not in the model."""
    fixed = [car for car in compiled.cars if all(compiled.tasks[one].fixed for one in car.tasks)]
    return sum(car_cost(compiled, schedule, car) for car in fixed)


def _take_bound(best: Best, run: Solved, beside: int) -> None:
    """What the whole model has proven."""
    if run.schedule is None:
        return
    best.bound = run.bound + beside
    best.proven = run.proven


def horizon_of(schedule: Schedule) -> int:
    """The last end that a better schedule is looked for to."""
    return int(max(schedule.ends) * 1.12) + 40


def _parts(
    compiled: Compiled, best: Best, budget: Budget, random: Random, goes_on: Callable[[], bool]
) -> None:
    """Neighbourhoods, each on one worker; with more workers several at once, unless work is counted."""
    drawn = Neighbourhoods(compiled, random)
    threads = 1 if budget.limits.work is not None else max(1, budget.limits.workers)
    if threads == 1:
        _steps(compiled, best, budget, drawn, goes_on)
        return
    with ThreadPoolExecutor(threads) as pool:
        running = [pool.submit(_steps, compiled, best, budget, drawn, goes_on) for _ in range(threads)]
        for one in running:
            one.result()


def _steps(
    compiled: Compiled, best: Best, budget: Budget, drawn: Neighbourhoods, goes_on: Callable[[], bool]
) -> None:
    while goes_on():
        with best.lock:
            base = best.schedule
            kind, free = drawn.draw(base)
            seed = drawn.random.randrange(1 << 30)
        limit = min(horizon_of(base), compiled.horizon - 1)
        model = Model(compiled, base, free, limit)
        run = solved(model, budget, seconds=STEP_SECONDS, work=STEP_WORK, seed=seed, workers=1)
        with best.lock:
            drawn.answer(kind, run.proven, run.work / STEP_WORK)
        if run.schedule is not None:
            best.merge(compiled, base, run.schedule, free)

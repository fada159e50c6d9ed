"""From a first schedule to a better one: the whole model where it is small, else neighbourhoods."""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from jobs.planning.budget import Budget
from jobs.planning.compiled import Compiled, Schedule, car_cost, cost
from jobs.planning.model import Model
from jobs.planning.neighbourhoods import Neighbourhoods
from jobs.planning.solving import Solved, solved

WHOLE_TASKS = 230
STEP_SECONDS, STEP_WORK = 1.0, 0.08


@dataclass
class Best:
    """The best so far: schedule, cost, proven bound if any; `tell` hears of each better schedule."""

    schedule: Schedule
    cost: int
    bound: int | None = None
    proven: bool = False
    tell: Callable[[Schedule], None] | None = None

    def take(self, compiled: Compiled, schedule: Schedule) -> bool:
        worth = cost(compiled, schedule)
        if worth >= self.cost:
            return False
        self.schedule, self.cost = schedule, worth
        if self.tell:
            self.tell(schedule)
        return True

    def hear(self, compiled: Compiled, schedule: Schedule) -> None:
        self.take(compiled, schedule)


def improve(compiled: Compiled, best: Best, budget: Budget, random: Random) -> None:
    """Improves until the budget is spent or the best is proven."""
    free = [task.index for task in compiled.tasks if task.fixed is None]
    if not free:
        best.bound, best.proven = best.cost, True
        return
    if len(free) <= WHOLE_TASKS:
        _whole(compiled, best, budget)
    else:
        _parts(compiled, best, budget, random)


def _whole(compiled: Compiled, best: Best, budget: Budget) -> None:
    model = Model(
        compiled,
        best.schedule,
        range(len(compiled.tasks)),
        min(horizon_of(best.schedule), compiled.horizon - 1),
        True,
    )
    run = solved(model, budget, seed=budget.limits.seed, tell=lambda found: best.hear(compiled, found))
    _take_bound(compiled, best, run)


def _take_bound(compiled: Compiled, best: Best, run: Solved) -> None:
    """What the whole model has proven; cars of which nothing is free stand beside it."""
    if run.schedule is None:
        return
    best.take(compiled, run.schedule)
    beside = [car for car in compiled.cars if all(compiled.tasks[one].fixed for one in car.tasks)]
    best.bound = run.bound + sum(car_cost(compiled, best.schedule, car) for car in beside)
    best.proven = run.proven


def horizon_of(schedule: Schedule) -> int:
    """The last end that a better schedule is looked for to."""
    return int(max(schedule.ends) * 1.12) + 40


def _parts(compiled: Compiled, best: Best, budget: Budget, random: Random) -> None:
    drawn = Neighbourhoods(compiled, random)
    while budget.goes_on:
        kind, free = drawn.draw(best.schedule)
        limit = min(horizon_of(best.schedule), compiled.horizon - 1)
        model = Model(compiled, best.schedule, free, limit)
        spent, left = budget.spent, budget.seconds_left
        run = solved(model, budget, seconds=STEP_SECONDS, work=STEP_WORK, seed=random.randrange(1 << 30))
        by_work = budget.limits.work is not None
        share = (budget.spent - spent) / STEP_WORK if by_work else (left - budget.seconds_left) / STEP_SECONDS
        drawn.answer(kind, run.proven, share)
        if run.schedule is not None:
            best.take(compiled, run.schedule)

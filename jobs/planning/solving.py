"""One run of CP-SAT upon a model, within what is left of the budget."""

import math
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Event, Thread

from ortools.sat.python import cp_model

from jobs.planning.budget import Budget, Limits
from jobs.planning.compiled import Compiled, Schedule
from jobs.planning.model import Model

# Two workers that both search the whole: linear relaxations cost more here than their bounds are worth.
WITHOUT_RELAXATION = ("no_lp", "quick_restart_no_lp")
# A search that is to stop is looked after so many seconds apart.
LOOKS_EVERY = 0.2


@dataclass(frozen=True)
class Solved:
    """The best schedule of a run, if it found any; whether it is proven; bound and work of the run."""

    schedule: Schedule | None
    proven: bool
    bound: int
    work: float = 0.0


class _Told(cp_model.CpSolverSolutionCallback):
    """Hands each better schedule on, and stops when asked to."""

    def __init__(self, model: Model, budget: Budget, tell: Callable[[Schedule], None] | None) -> None:
        super().__init__()
        self.model, self.budget, self.tell = model, budget, tell

    def on_solution_callback(self) -> None:
        if self.tell is not None:
            self.tell(self.model.read(lambda one: int(self.value(one))))
        if self.budget.stopped:
            self.stop_search()


@contextmanager
def _stopping(solver: cp_model.CpSolver, budget: Budget) -> Iterator[None]:
    """Stops the solver when it is asked to, though it finds nothing better meanwhile."""
    if budget.limits.stop is None:
        yield
        return
    over = Event()

    def watch() -> None:
        while not over.wait(LOOKS_EVERY):
            if budget.stopped:
                solver.stop_search()

    watcher = Thread(target=watch, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        over.set()
        watcher.join()


def solved(
    model: Model,
    budget: Budget,
    *,
    seconds: float = float("inf"),
    work: float = float("inf"),
    seed: int = 1,
    workers: int | None = None,
    tell: Callable[[Schedule], None] | None = None,
    tell_bound: Callable[[int], None] | None = None,
) -> Solved:
    """Runs the solver for so many seconds or so much work at most, and for what is left of the budget."""
    solver = cp_model.CpSolver()
    how = solver.parameters
    how.num_workers = 1 if budget.limits.work is not None else workers or budget.limits.workers
    if how.num_workers == len(WITHOUT_RELAXATION):
        how.subsolvers.extend(WITHOUT_RELAXATION)
    how.random_seed = seed
    how.cp_model_probing_level = 0
    how.symmetry_level = 0
    how.linearization_level = 0
    how.catch_sigint_signal = False
    if min(work, budget.work_left) < float("inf"):
        how.max_deterministic_time = max(0.001, min(work, budget.work_left))
    if budget.limits.seconds is not None:
        how.max_time_in_seconds = max(0.05, min(seconds, budget.seconds_left))
    if tell_bound is not None:
        hear = tell_bound
        solver.best_bound_callback = lambda bound: hear(math.ceil(bound - 1e-6))
    with _stopping(solver, budget):
        status = solver.solve(model.cp, _Told(model, budget, tell))
    spent = solver.response_proto.deterministic_time
    budget.work(spent)
    proven = status == cp_model.OPTIMAL
    if not proven and status != cp_model.FEASIBLE:
        return Solved(None, False, 0, spent)
    schedule = model.read(lambda one: int(solver.value(one)))
    return Solved(schedule, proven, round(solver.best_objective_bound), spent)


def from_nothing(compiled: Compiled, seed: int, work: float) -> Schedule | None:
    """Any schedule at all, where the rules have come to a standstill; None where none is found."""
    count = len(compiled.tasks)
    blank = Schedule([0] * count, [0] * count, [0] * count, [hold.pools[0] for hold in compiled.holds])
    for task in compiled.tasks:
        start = task.fixed[0] if task.fixed else task.modes[0].timing.following[task.earliest]
        end = task.fixed[1] if task.fixed else task.modes[0].timing.fast_ends[start]
        blank.starts[task.index], blank.ends[task.index] = start, end
    model = Model(compiled, blank, range(count), compiled.horizon - 1)
    model.cp.clear_objective()  # type: ignore[no-untyped-call]
    budget = Budget(Limits(seconds=4 * work, work=work, workers=1, seed=seed))
    return solved(model, budget, seed=seed).schedule

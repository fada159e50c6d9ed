"""The search: from a problem to the best plan that is found within the limits.

First what cannot be planned is set aside and told; then priority rules with passes forward and back give
a plan at once; then moves in the order of cars, and CP-SAT upon the whole or upon neighbourhoods, improve
it. Every better plan can be looked at while the search goes on. No plan leaves that the checker refuses.
"""

from collections.abc import Callable
from random import Random

from jobs.planning.assembling import plan_of
from jobs.planning.budget import Budget, Limits
from jobs.planning.checker import breaches
from jobs.planning.compiled import Compiled, Schedule, car_cost, cost, moved
from jobs.planning.improving import Best, improve
from jobs.planning.plan import Fault, Plan, Proposal, SoFar
from jobs.planning.preparing import Prepared, prepared
from jobs.planning.problem import Problem
from jobs.planning.repairing import carried_on
from jobs.planning.rules import Rules

Tell = Callable[[SoFar], None]
ORDER_SHARE, ORDER_SECONDS, WARM_SECONDS = 0.12, 5.0, 0.5


def search(problem: Problem, limits: Limits | None = None, tell: Tell | None = None) -> Proposal:
    """The best plan within the limits.

    Args:
        problem: what there is and what is to be done; with `calm`, the accepted plan is where it begins.
        limits: by default ten seconds on two workers.
        tell: hears of each better plan, and of each better bound, as it is found.
    """
    budget = Budget(limits or Limits())
    ready = prepared(problem, budget.limits.seed)
    if ready.compiled is None or ready.rules is None or ready.rules.best is None:
        return nothing(ready)
    compiled, rules, at_once = ready.compiled, ready.rules, ready.rules.best
    random = Random(budget.limits.seed)  # noqa: S311 - drawn to be repeatable
    first = carried_on(compiled, rules) or at_once
    best = Best(first.schedule, first.cost, tell=_teller(ready, tell, budget))
    best.say()
    budget.work(rules.work)
    _by_order(compiled, rules, best, budget, random)
    improve(compiled, best, budget, random)
    return proposal(ready, best.schedule, [first.schedule, at_once.schedule], best)


def _by_order(compiled: Compiled, rules: Rules, best: Best, budget: Budget, random: Random) -> None:
    """A share of the budget for the order of the cars; a small shop goes to the solver soon."""
    before = rules.work
    at_most = WARM_SECONDS if len(compiled.tasks) < 230 else ORDER_SECONDS
    share = budget.share(ORDER_SHARE, at_most)

    def goes_on() -> bool:
        nonlocal before
        budget.work(rules.work - before)
        before = rules.work
        return share()

    rules.at_once(goes_on)
    if rules.best:
        best.take(compiled, rules.best.schedule)
    rules.by_moves(random, goes_on)
    if share():
        rules.back_and_forth()
    budget.work(rules.work - before)
    if rules.best:
        best.take(compiled, rules.best.schedule)


def _teller(
    ready: Prepared, tell: Tell | None, budget: Budget
) -> Callable[[Schedule, int | None], None] | None:
    """Tells in the problem's slots, and leaves the making of the plan to whoever hears it."""
    if tell is None or ready.compiled is None:
        return None
    hear, compiled = tell, ready.compiled

    def told(schedule: Schedule, bound: int | None) -> None:
        hear(
            SoFar(
                objective=_in_slots(compiled, cost(compiled, schedule)),
                bound=None if bound is None else _in_slots(compiled, bound),
                seconds=budget.seconds_spent,
                make=lambda: proposal(ready, schedule, [], None),
            )
        )

    return told


def nothing(ready: Prepared) -> Proposal:
    """What is said where nothing can be planned."""
    return _empty(ready, ready.faults)


def _empty(ready: Prepared, faults: tuple[Fault, ...]) -> Proposal:
    plan = Plan(ready.problem.name, (), ())
    return Proposal(plan, 0, faults=faults, clashing_pins=ready.clashing, planned=ready.problem)


def proposal(ready: Prepared, schedule: Schedule, others: list[Schedule], best: Best | None) -> Proposal:
    """The plan of the schedule, or of the first of the others that the checker lets through."""
    compiled = ready.compiled
    assert compiled is not None
    faults = list(ready.faults)
    for one in (schedule, *others):
        plan = plan_of(compiled, one)
        broken = breaches(ready.problem, plan)
        if not broken:
            near = moved(compiled, one)
            same = best is not None and one is schedule
            return Proposal(
                plan=plan,
                objective=_in_slots(compiled, sum(car_cost(compiled, one, car) for car in compiled.cars)),
                bound=_in_slots(compiled, best.bound)
                if best and same and best.bound is not None and not compiled.near
                else None,
                proven=bool(best and same and best.proven),
                faults=tuple(faults),
                clashing_pins=ready.clashing,
                moved=tuple(compiled.tasks[index].op for index in near),
                planned=ready.problem,
            )
        way_out = "Look at this first; the plan was not made"
        faults += [Fault(breach.where, breach.what, way_out) for breach in broken[:5]]
    return _empty(ready, tuple(faults))


def _in_slots(compiled: Compiled, units: int) -> int:
    """Units of the axis as slots of the problem, rounded up."""
    return -(-units * compiled.axis.unit // compiled.problem.slot_minutes)


def repair(problem: Problem) -> Proposal:
    """The accepted order of `problem.calm` with the times that are possible now, at once."""
    ready = prepared(problem, problem.seed)
    if ready.compiled is None or ready.rules is None or ready.rules.best is None:
        return nothing(ready)
    found = carried_on(ready.compiled, ready.rules) or ready.rules.best
    return proposal(ready, found.schedule, [ready.rules.best.schedule], None)

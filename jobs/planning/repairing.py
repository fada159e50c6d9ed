"""After one change: the accepted order again, with the times that are possible now, within a second."""

from dataclasses import replace
from itertools import product

from jobs.planning.compiled import Compiled, Hold, Schedule, Task, cost
from jobs.planning.dispatching import dispatched
from jobs.planning.problem import Calm
from jobs.planning.rules import Found, Rules


def carried_on(compiled: Compiled, rules: Rules) -> Found | None:
    """The best of a few schedules that keep the accepted plan's order; None where nothing was accepted.

    What began first goes first. In some of them everything keeps its people and its bay, nothing begins
    earlier than it was to, a car does not go into a bay earlier; in others whoever and whatever is free
    is taken. Which is best shows in what they cost, moves of what is near included.
    """
    calm = compiled.problem.calm
    if calm is None or not calm.starts:
        return None
    late = float(compiled.horizon)
    old = {
        task.index: compiled.axis.position(calm.starts[task.op])
        for task in compiled.tasks
        if task.op in calm.starts
    }
    keys = [float(old.get(task.index, late - rules.tail[task.index] / late)) for task in compiled.tasks]
    entries = [
        0 if hold.occupied else min((old.get(task, 0) for task in hold.tasks), default=0)
        for hold in compiled.holds
    ]
    still = [max(task.earliest, old.get(task.index, 0)) for task in compiled.tasks]
    near = [still[i] if i in compiled.near else task.earliest for i, task in enumerate(compiled.tasks)]
    found: list[Found] = []
    for same, floors in product((True, False), (still, near, None)):
        shop = _kept(compiled, calm) if same else compiled
        schedule = dispatched(shop, keys, None if floors is None else entries, floors)
        if schedule:
            schedule = _told(compiled, shop, schedule)
            found.append(Found(schedule, cost(compiled, schedule)))
    return min(found, key=lambda one: one.cost, default=None)


def _kept(compiled: Compiled, calm: Calm) -> Compiled:
    """The shop in which each task has only its accepted people and each hold only its accepted bay."""
    names = [person.id for person in compiled.problem.people]
    pool_of = {names[one]: number for number, pool in enumerate(compiled.pools) for one in pool.members}
    bays = [bay.id for bay in compiled.problem.bays]
    bay_of = {bays[one]: number for number, pool in enumerate(compiled.bay_pools) for one in pool.members}

    def task_kept(task: Task) -> Task:
        pool = pool_of.get(calm.people.get(task.op, ""))
        modes = tuple(mode for mode in task.modes if mode.demands and mode.demands[0][0] == pool)
        return replace(task, modes=modes) if modes and not task.fixed else task

    def hold_kept(hold: Hold) -> Hold:
        accepted = {bay_of.get(calm.bays.get(compiled.tasks[one].op) or "") for one in hold.tasks}
        pools = tuple(pool for pool in hold.pools if pool in accepted)
        return replace(hold, pools=pools) if pools else hold

    return replace(
        compiled,
        tasks=tuple(map(task_kept, compiled.tasks)),
        holds=tuple(map(hold_kept, compiled.holds)),
    )


def _told(compiled: Compiled, kept: Compiled, schedule: Schedule) -> Schedule:
    """The schedule with its modes numbered as the whole shop numbers them."""
    if kept is compiled:
        return schedule
    modes = [
        task.modes.index(kept.tasks[task.index].modes[schedule.modes[task.index]]) for task in compiled.tasks
    ]
    return replace(schedule, modes=modes)

"""After one change: the accepted order again, with the times that are possible now, within a second."""

from jobs.planning.compiled import Compiled, cost
from jobs.planning.dispatching import dispatched
from jobs.planning.rules import Found, Rules


def carried_on(compiled: Compiled, rules: Rules) -> Found | None:
    """The best of a few schedules that keep the accepted plan's order; None where nothing was accepted.

    What began first goes first; what is near does not begin earlier than it was to; a car goes into its
    bay when it was to, or as soon as it can.
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
        min((old.get(task, 0) for task in hold.tasks), default=0) if not hold.occupied else 0
        for hold in compiled.holds
    ]
    near = [
        max(task.earliest, compiled.near[i].start if i in compiled.near else 0)
        for i, task in enumerate(compiled.tasks)
    ]
    still = [max(task.earliest, old.get(task.index, 0)) for task in compiled.tasks]
    found: list[Found] = []
    for times, floors in ((entries, still), (entries, near), (None, near), (entries, None), (None, None)):
        schedule = dispatched(compiled, keys, times, floors)
        if schedule:
            found.append(Found(schedule, cost(compiled, schedule)))
    return min(found, key=lambda one: one.cost, default=None)

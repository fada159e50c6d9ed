"""What is done before a car goes into a bay, so that no two cars wait in their bays for each other's."""

from collections.abc import Sequence

from jobs.planning.compiled import Hold, Task


def opens_after(tasks: Sequence[Task], holds: Sequence[Hold]) -> tuple[tuple[int, ...], ...]:
    """For each hold the tasks in other bays that some of its own come after, at whatever distance.

    Once they are done a hold waits for no other bay. Left out are holds that wait for each other in a
    circle, and tasks that all of the hold come after: those are waited for anyway.
    """
    before = _ancestors(tasks)
    near = {hold.index: _holds_of(tasks, hold, before) for hold in holds}
    reached = {index: _reached(near, index) for index in near}
    found = []
    for hold in holds:
        mine = [before[one] for one in hold.tasks]
        all_of_it = mine[0].intersection(*mine)
        some = mine[0].union(*mine) - all_of_it
        found.append(
            tuple(
                sorted(
                    one
                    for one in some
                    if tasks[one].hold not in (-1, hold.index) and hold.index not in reached[tasks[one].hold]
                )
            )
        )
    return tuple(found)


def _ancestors(tasks: Sequence[Task]) -> list[set[int]]:
    """For each task all those that come before it."""
    found: list[set[int] | None] = [None] * len(tasks)
    for task in tasks:
        line = [task.index]
        while line:
            index = line[-1]
            open_ones = [one for one in tasks[index].after if found[one] is None]
            if found[index] is None and open_ones:
                line += open_ones
                continue
            line.pop()
            if found[index] is None:
                after = tasks[index].after
                found[index] = set(after).union(*(found[one] or set() for one in after))
    return [one or set() for one in found]


def _holds_of(tasks: Sequence[Task], hold: Hold, before: list[set[int]]) -> set[int]:
    """The other holds that it waits for."""
    found = {tasks[other].hold for one in hold.tasks for other in before[one]}
    return found - {-1, hold.index}


def _reached(near: dict[int, set[int]], index: int) -> set[int]:
    seen: set[int] = set()
    line = list(near[index])
    while line:
        one = line.pop()
        if one not in seen:
            seen.add(one)
            line += near[one]
    return seen

"""Between what a free task can move at all: after what comes before it, before what comes after it."""

from jobs.planning.compiled import Compiled, Schedule


class Bounds:
    """`low` is the earliest start and `high` the latest end of each free task, by index.

    `earliest` and `latest` are the first and the last of all. `limit` is the last end that is looked at.
    """

    def __init__(self, compiled: Compiled, schedule: Schedule, free: set[int], limit: int) -> None:
        tasks = compiled.tasks
        least = {
            index: min(length for mode in tasks[index].modes for length, _ in mode.timing.lengths)
            for index in free
        }
        order = sorted(free, key=lambda one: (schedule.starts[one], schedule.ends[one]))
        order = _after_each_other(compiled, order, free)
        self.low: dict[int, int] = {}
        for index in order:
            ends = [
                self.low[one] + least[one] if one in free else schedule.ends[one]
                for one in tasks[index].after
            ]
            self.low[index] = max([tasks[index].earliest, *ends])
        self.high: dict[int, int] = {}
        for index in reversed(order):
            starts = [
                self.high[one] - least[one] if one in free else schedule.starts[one]
                for one in compiled.followers[index]
            ]
            self.high[index] = min([limit, *starts])
        self.earliest = min(self.low.values(), default=0)
        self.latest = max(self.high.values(), default=limit)


def _after_each_other(compiled: Compiled, order: list[int], free: set[int]) -> list[int]:
    """The order with every task after those that it comes after."""
    waits = {one: sum(before in free for before in compiled.tasks[one].after) for one in order}
    line = [one for one in order if not waits[one]]
    for one in line:
        for follower in compiled.followers[one]:
            if follower in free:
                waits[follower] -= 1
                if not waits[follower]:
                    line.append(follower)
    return line

"""A plan at once: whenever something ends or may begin, the most urgent task that can begin does.

Such a schedule never leaves somebody idle who could work; the search improves on it. It works on the
axis, forward in time, so that a count of who is free in each pool is all that it has to know.
"""

import heapq
from collections.abc import Sequence

from jobs.planning.compiled import Compiled, Hold, Mode, Schedule, Task, held

TRIES = 12


def dispatched(
    compiled: Compiled,
    keys: Sequence[float],
    entries: Sequence[int] | None = None,
    floors: Sequence[int] | None = None,
    cars_at_once: int = 10_000,
) -> Schedule | None:
    """The schedule in which tasks with lower keys go first; None where it comes to a standstill.

    Args:
        keys: the urgency of each task by index, the lowest first.
        entries: the position before which a hold does not begin, by index.
        floors: the position before which a task does not begin, by index.
        cars_at_once: how many cars may be between their first and their last hold.
    """
    spare = [_spare(compiled, hold) for hold in compiled.holds]
    entries = entries or [0] * len(compiled.holds)
    floors = floors or [task.earliest for task in compiled.tasks]
    for _ in range(TRIES):
        schedule = _Floor(compiled, keys, (entries, floors, spare), cars_at_once).run()
        if schedule is None:
            return None
        shut = [hold.index for hold in compiled.holds if in_closed_bay(compiled, schedule, hold)]
        if not shut:
            return schedule
        for hold in shut:
            spare[hold] = 2 * spare[hold] + 8
    return None


def _spare(compiled: Compiled, hold: Hold) -> int:
    """About how long a hold will last, for bays that close some time."""
    if not any(compiled.bay_pools[pool].closed for pool in hold.pools):
        return 0
    return int(1.5 * sum(compiled.tasks[task].slots for task in hold.tasks))


def in_closed_bay(compiled: Compiled, schedule: Schedule, hold: Hold) -> bool:
    """Whether the hold goes on into a time at which its bay is down."""
    begins, ends = held(compiled, schedule, hold)
    # What takes no time is done when a slot begins, and not when the one before it ends.
    ends = max([ends, *(schedule.starts[one] + 1 for one in at_an_instant(compiled, hold))])
    closed = compiled.bay_pools[schedule.bays[hold.index]].closed
    return any(ends > first and (begins < past or hold.occupied) for first, past in closed)


def at_an_instant(compiled: Compiled, hold: Hold) -> list[int]:
    """The tasks of a hold that are still to do and take no time."""
    return [one for one in hold.tasks if not compiled.tasks[one].slots and not compiled.tasks[one].fixed]


class _Floor:
    """The shop while the clock runs."""

    def __init__(
        self,
        compiled: Compiled,
        keys: Sequence[float],
        times: tuple[Sequence[int], Sequence[int], Sequence[int]],
        cars_at_once: int,
    ) -> None:
        self.it, self.keys, self.cars_at_once = compiled, keys, cars_at_once
        self.entries, self.floors, self.spare = times
        tasks = compiled.tasks
        self.waits = [len(task.after) for task in tasks]
        self.starts, self.ends = [-1] * len(tasks), [-1] * len(tasks)
        self.mode_of, self.bays = [0] * len(tasks), [-1] * len(compiled.holds)
        self.free = [pool.size for pool in compiled.pools]
        self.room = [pool.size for pool in compiled.bay_pools]
        self.left = [len(hold.tasks) for hold in compiled.holds]
        self.kept: dict[int, int] = {}
        self.ready: list[tuple[float, int]] = []
        self.clock: list[int] = []
        self.coming: set[int] = set()
        self.ending: dict[int, list[int]] = {}
        self.due_ready: dict[int, list[int]] = {}
        self.under_way: set[int] = set()
        self.before_others = {car for car in compiled.first_up if compiled.waiting_holds(compiled.cars[car])}
        self.waiting_first = {h.index for car in compiled.cars for h in compiled.waiting_holds(car)}

    def run(self) -> Schedule | None:
        self._begin()
        while self.clock:
            now = heapq.heappop(self.clock)
            self.coming.discard(now)
            for task in self.ending.pop(now, ()):
                self._ended(task, now)
            for task in self.due_ready.pop(now, ()):
                heapq.heappush(self.ready, (self.keys[task], task))
            self._start_what_can(now)
        if min(self.starts, default=0) < 0:
            return None
        return Schedule(self.starts, self.ends, self.mode_of, self.bays)

    def _at(self, position: int) -> None:
        if position not in self.coming and position < self.it.horizon:
            self.coming.add(position)
            heapq.heappush(self.clock, position)

    def _begin(self) -> None:
        for hold in self.it.holds:
            if hold.occupied:
                pools = [pool for pool in hold.pools if self.room[pool]] or list(hold.pools)
                self._open(hold, pools[0])
        for task in self.it.tasks:
            if task.fixed:
                self._take(task, 0, 0, task.fixed[1], task.modes[0])
            elif not task.after:
                self._becomes_ready(task.index, 0)
        for task in self.it.tasks:
            if task.fixed:
                self._reserve(self._chained(task, task.modes[0], task.fixed[1]) or [])
        self._at(0)

    def _becomes_ready(self, task: int, now: int) -> None:
        at = max(now, self.it.tasks[task].earliest, self.floors[task])
        self.due_ready.setdefault(at, []).append(task)
        self._at(at)

    def _open(self, hold: Hold, pool: int) -> None:
        self.bays[hold.index] = pool
        self.room[pool] -= 1
        self.under_way.add(hold.car)
        if hold.index in self.waiting_first:
            self.before_others.discard(hold.car)
        released = self.kept.pop(hold.index, None)
        if released is not None:
            self.room[released] += 1

    def _take(self, task: Task, mode: int, start: int, end: int, how: Mode) -> None:
        self.starts[task.index], self.ends[task.index], self.mode_of[task.index] = start, end, mode
        for pool, count in how.demands:
            self.free[pool] -= count
        self.ending.setdefault(end, []).append(task.index)
        self._at(end)

    def _ended(self, index: int, now: int) -> None:
        task = self.it.tasks[index]
        for pool, count in task.modes[self.mode_of[index]].demands:
            self.free[pool] += count
        if task.hold >= 0:
            self.left[task.hold] -= 1
            if not self.left[task.hold]:
                self._close(self.it.holds[task.hold])
        for follower in self.it.followers[index]:
            self.waits[follower] -= 1
            if not self.waits[follower] and self.starts[follower] < 0:
                self._becomes_ready(follower, now)

    def _close(self, hold: Hold) -> None:
        if hold.index == self.it.cars[hold.car].holds[-1]:
            self.under_way.discard(hold.car)
        if hold.keeps_for >= 0 and self.bays[hold.keeps_for] < 0:
            self.kept[hold.keeps_for] = self.bays[hold.index]
        else:
            self.room[self.bays[hold.index]] += 1

    def _start_what_can(self, now: int) -> None:
        """Most urgent first; what ends at once (no length) may let others begin, so until nothing does."""
        left: list[tuple[float, int]] = []
        while self.ready:
            key, index = heapq.heappop(self.ready)
            if not self._started(self.it.tasks[index], now):
                left.append((key, index))
            elif now in self.ending:
                for ended in self.ending.pop(now):
                    self._ended(ended, now)
                for task in self.due_ready.pop(now, ()):
                    heapq.heappush(self.ready, (self.keys[task], task))
        self.ready = left
        heapq.heapify(self.ready)

    def _started(self, task: Task, now: int) -> bool:
        pool = -1
        if task.hold >= 0 and self.bays[task.hold] < 0:
            pool = self._bay_for(self.it.holds[task.hold], now)
            if pool < 0:
                return False
        best, retry = self._best_mode(task, now)
        if best < 0:
            if retry:
                self._at(retry)
            return False
        mode = task.modes[best]
        chain = self._chained(task, mode, int(mode.timing.fast_ends[now]))
        if chain is None:
            self._at(now + 1)
            return False
        if pool >= 0:
            self._open(self.it.holds[task.hold], pool)
        self._take(task, best, now, mode.timing.fast_ends[now], mode)
        self._reserve(chain)
        return True

    def _reserve(self, chain: list[tuple[int, int, int, int]]) -> None:
        for follower, number, start, end in chain:
            other = self.it.tasks[follower]
            self._take(other, number, start, end, other.modes[number])

    def _best_mode(self, task: Task, now: int) -> tuple[int, int]:
        """The mode that ends first, of equals the one whose people can do least else; when to try again."""
        best, best_end, retry = -1, 0, 0
        if task.at_once_after >= 0 and self.ends[task.at_once_after] != now:
            return -1, 0
        for number, mode in enumerate(task.modes):
            end = mode.timing.fast_ends[now]
            if end < 0:
                following = mode.timing.following[now]
                if following < self.it.horizon and (not retry or following < retry):
                    retry = following
            elif (best < 0 or end < best_end) and self._is_free(task, mode):
                best, best_end = number, end
        return best, retry

    def _is_free(self, task: Task, mode: Mode) -> bool:
        for pool, count in mode.demands:
            if self.free[pool] < count:
                return False
        return all(self._leaves_somebody(mode, other) for other in task.apart)

    def _leaves_somebody(self, mode: Mode, other: int) -> bool:
        """Whether the other task has, or still can have, people of whom none is in that mode."""
        mine = {pool for pool, _ in mode.demands}
        modes = self.it.tasks[other].modes
        open_ones = modes if self.starts[other] < 0 else (modes[self.mode_of[other]],)
        return any(mine.isdisjoint(pool for pool, _ in one.demands) for one in open_ones)

    def _bay_for(self, hold: Hold, now: int) -> int:
        """The pool with room that suits the hold and least else (pools stand in that order); -1 for none."""
        if now < self.entries[hold.index]:
            self._at(self.entries[hold.index])
            return -1
        if hold.index in self.waiting_first and self.before_others and hold.car not in self.before_others:
            return -1
        if hold.car not in self.under_way and len(self.under_way) >= self.cars_at_once:
            return -1
        if any(not 0 <= self.ends[one] <= now for one in self.it.opens_after[hold.index]):
            return -1
        kept = self.kept.get(hold.index, -1)
        for pool in hold.pools:
            if self.room[pool] + (kept == pool) < 1:
                continue
            until = now + self.spare[hold.index]
            shut = [ends for begins, ends in self.it.bay_pools[pool].closed if begins < until and ends > now]
            if not shut:
                return pool
            self._at(max(shut))
        return -1

    def _chained(self, task: Task, mode: Mode, end: int) -> list[tuple[int, int, int, int]] | None:
        """What has to begin at once when this ends, with who is free from now on; None if it cannot."""
        chain: list[tuple[int, int, int, int]] = []
        taken = dict(mode.demands)
        for follower in self.it.followers[task.index]:
            other = self.it.tasks[follower]
            if other.at_once_after != task.index or self.starts[follower] >= 0:
                continue
            if not self._may_follow(other, task.index, end):
                return None
            for number, how in enumerate(other.modes):
                stops = how.timing.fast_ends[end]
                mine = all(self.free[p] >= n for p, n in how.demands)
                apart = task.index in other.apart and any(p in taken for p, _ in how.demands)
                if stops >= 0 and mine and not apart:
                    chain.append((follower, number, end, stops))
                    break
            else:
                return None
        return chain

    def _may_follow(self, other: Task, index: int, end: int) -> bool:
        """Whether the other may begin at that end: no gap there, all else that it waits for done."""
        if end >= self.it.horizon or other.earliest > end or self.it.axis.opens[end]:
            return False
        if other.hold >= 0 and self.bays[other.hold] < 0 and other.hold != self.it.tasks[index].hold:
            return False
        return all(one == index or 0 <= self.ends[one] <= end for one in other.after)

"""Which car first: priority rules, forward-backward passes, and a search upon the order of the cars."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from random import Random

from jobs.planning.compiled import Car, Compiled, Schedule, cost
from jobs.planning.dispatching import dispatched
from jobs.planning.solving import from_nothing

WORK_A_TASK = 4e-5
PASSES = 4
STRETCHES = (1.0, 1.6, 2.5)


def tails(compiled: Compiled) -> list[int]:
    """For each task the longest work that is still to come after its start, itself included, in slots."""
    longest = [-1] * len(compiled.tasks)
    for task in reversed(in_order(compiled)):
        after = max((longest[one] for one in compiled.followers[task]), default=0)
        longest[task] = compiled.tasks[task].slots + after
    return longest


def in_order(compiled: Compiled) -> list[int]:
    """The tasks, each after all that come before it."""
    waits = [len(task.after) for task in compiled.tasks]
    order = [index for index, wait in enumerate(waits) if not wait]
    for index in order:
        for follower in compiled.followers[index]:
            waits[follower] -= 1
            if not waits[follower]:
                order.append(follower)
    return order


def car_orders(compiled: Compiled, tail: Sequence[int]) -> Iterator[list[int]]:
    """Orders by rules of thumb: due time, slack, weight, work left, release; begun cars first or not."""
    left = {car.index: max(tail[task] for task in car.tasks) for car in compiled.cars}
    total = {car.index: sum(compiled.tasks[task].slots for task in car.tasks) for car in compiled.cars}
    ready = {car.index: min(compiled.tasks[task].earliest for task in car.tasks) for car in compiled.cars}
    rules: list[Callable[[Car], float]] = [
        lambda car: car.due,
        lambda car: car.due - left[car.index],
        lambda car: max(car.due - left[car.index], ready[car.index]) / (1 + car.weight),
        lambda car: left[car.index],
        lambda car: total[car.index] / (1 + car.weight),
        lambda car: ready[car.index] + left[car.index],
        lambda car: (car.due - left[car.index]) - 20 * car.weight,
    ]
    begun = {car.index for car in compiled.cars if any(compiled.holds[one].occupied for one in car.holds)}
    for rule in rules:
        ranked = sorted(compiled.cars, key=lambda car: (rule(car), car.index))
        yield [car.index for car in ranked]
        yield [car.index for car in sorted(ranked, key=lambda car: car.index not in begun)]


def keys_of(compiled: Compiled, order: Sequence[int], tail: Sequence[int]) -> list[float]:
    """The urgency of each task where cars go in that order, and within a car the longest tail first."""
    rank = {car: number for number, car in enumerate(order)}
    most = max(tail, default=0) + 1
    return [rank[task.car] + 1 - tail[task.index] / most for task in compiled.tasks]


def latest_starts(compiled: Compiled, schedule: Schedule) -> list[float]:
    """A backward pass: how late each task could begin with the order kept and no car later than its due
    time or than it is. What is then latest is least urgent in the next pass forward."""
    latest = [float(compiled.horizon * 2)] * len(compiled.tasks)
    finish = [max(schedule.ends[task] for task in car.tasks) for car in compiled.cars]
    limit = [float(max(end, car.due)) for end, car in zip(finish, compiled.cars, strict=True)]
    queue: list[list[float]] = [[float("inf")] * pool.size for pool in compiled.pools]
    order = sorted(range(len(latest)), key=lambda one: (-schedule.ends[one], -schedule.starts[one]))
    for index in order:
        task = compiled.tasks[index]
        end = min([limit[task.car], *(latest[one] for one in compiled.followers[index])])
        demands = task.modes[schedule.modes[index]].demands
        for pool, count in demands:
            line = queue[pool]
            line.sort(reverse=True)
            end = min(end, line[count - 1])
        latest[index] = end - (schedule.ends[index] - schedule.starts[index])
        for pool, count in demands:
            queue[pool][:count] = [latest[index]] * count
    return latest


def parts_entries(compiled: Compiled, stretch: float) -> list[int]:
    """When a hold would begin for its work, at so many times its length, just to reach its last parts."""
    entries = [0] * len(compiled.holds)
    heads: dict[int, int] = {}
    for index in in_order(compiled):
        task = compiled.tasks[index]
        before = [one for one in task.after if compiled.tasks[one].hold == task.hold]
        heads[index] = max((heads[one] + compiled.tasks[one].slots for one in before), default=0)
        if task.hold >= 0 and not compiled.holds[task.hold].occupied:
            entries[task.hold] = max(entries[task.hold], int(task.earliest - stretch * heads[index]))
    return entries


@dataclass
class Found:
    """The best schedule so far with what it costs."""

    schedule: Schedule
    cost: int


class Rules:
    """Tries orders of cars one after another and keeps the best; counts its work in a second's share.

    `work` is about how many seconds it took, counted by tasks, the same on every machine.
    """

    def __init__(self, compiled: Compiled, seed: int = 1) -> None:
        self.compiled, self.seed = compiled, seed
        self.tail = tails(compiled)
        self.best: Found | None = None
        self.order = [car.index for car in compiled.cars]
        self.choices = [[0] * len(compiled.holds), *(parts_entries(compiled, by) for by in STRETCHES)]
        self.entries = self.choices[0]
        self.work = 0.0

    def _try(self, keys: Sequence[float], entries: Sequence[int] | None = None) -> Found | None:
        self.work += WORK_A_TASK * len(self.compiled.tasks)
        schedule = dispatched(self.compiled, keys, entries or self.entries)
        return Found(schedule, cost(self.compiled, schedule)) if schedule else None

    def _keep(self, found: Found | None) -> bool:
        if found is None or (self.best and found.cost >= self.best.cost):
            return False
        self.best = found
        return True

    def first(self, work: float = 0.0) -> Found | None:
        """One schedule: cars with the least slack first, else one car after another, else, with so much
        work, the solver's."""
        self.order = next(islice(car_orders(self.compiled, self.tail), 1, None), self.order)
        keys = keys_of(self.compiled, self.order, self.tail)
        if not self._keep(self._try(keys)):
            schedule = dispatched(self.compiled, keys, cars_at_once=1)
            if schedule is None and work:
                schedule = from_nothing(self.compiled, self.seed, work)
            if schedule is not None:
                self.best = Found(schedule, cost(self.compiled, schedule))
        return self.best

    def at_once(self, goes_on: Callable[[], bool] = lambda: True) -> Found | None:
        """By the rules as long as it `goes_on`, and forward and backward from the best of them."""
        for order in car_orders(self.compiled, self.tail):
            for entries in self.choices:
                if not goes_on():
                    return self.best
                if self._keep(self._try(keys_of(self.compiled, order, self.tail), entries)):
                    self.order, self.entries = order, entries
        self.back_and_forth()
        return self.best

    def back_and_forth(self) -> None:
        """Forward-backward passes from the best schedule, as long as they help."""
        for _ in range(PASSES):
            if self.best is None:
                return
            if not self._keep(self._try(latest_starts(self.compiled, self.best.schedule))):
                return

    def follow(self, starts: Sequence[float]) -> Found | None:
        """With an old plan's order as priority: what it began first goes first."""
        self._keep(self._try(starts))
        return self.best

    def by_moves(self, random: Random, goes_on: Callable[[], bool]) -> None:
        """Moves cars within the order, or the time at which one may go into a bay, as long as it
        `goes_on`; a move that costs nothing is kept too."""
        order, entries = self.order, list(self.entries)
        standing = self.best.cost if self.best else 0
        while len(order) > 1 and goes_on():
            trial, times = self._moved(random, order, entries)
            found = self._try(keys_of(self.compiled, trial, self.tail), times)
            if found and found.cost <= standing:
                order, entries, standing = trial, times, found.cost
                if self._keep(found):
                    self.order, self.entries = trial, times

    def _moved(self, random: Random, order: list[int], entries: list[int]) -> tuple[list[int], list[int]]:
        trial, times = order[:], entries[:]
        if random.random() < 0.5 or not times:
            place = random.randrange(len(trial))
            car = trial.pop(place)
            reach = max(2, len(order) // 4)
            trial.insert(min(max(place + random.randint(-reach, reach), 0), len(trial)), car)
        else:
            hold = random.randrange(len(times))
            begun = self.best.schedule if self.best else None
            start = min(begun.starts[one] for one in self.compiled.holds[hold].tasks) if begun else 0
            times[hold] = random.choice(
                [0, *(choice[hold] for choice in self.choices), max(0, start + random.randint(-64, 96))]
            )
        return trial, times

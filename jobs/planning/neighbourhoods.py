"""Which tasks to set free at once: those of a few cars that meet, or those of a stretch of time."""

from collections.abc import Sequence
from random import Random

from jobs.planning.compiled import Car, Compiled, Schedule, car_cost


class Neighbourhoods:
    """Draws neighbourhoods of about `size` tasks, in turn by cars, by time and by the cars of a bay.

    The size follows the solver: what is proven quickly may be larger, what is not done smaller.
    """

    KINDS = ("time", "cars", "time", "time", "bay")

    def __init__(self, compiled: Compiled, random: Random, size: int = 110) -> None:
        self.it, self.random = compiled, random
        self.sizes = dict.fromkeys(self.KINDS, float(size))
        self.turn = 0
        self.all = [task.index for task in compiled.tasks if task.fixed is None]
        self.sweep = self._sweep()

    def _sweep(self) -> list[float]:
        """Once through all of time first, half a neighbourhood at a step: as shares of the tasks by start."""
        count = 2 * len(self.all) / self.sizes["time"]
        return [(number + 1) / (count + 1) for number in range(int(count))]

    def draw(self, schedule: Schedule) -> tuple[str, list[int]]:
        kind = self.KINDS[self.turn % len(self.KINDS)]
        self.turn += 1
        size = int(self.sizes[kind])
        if size >= len(self.all):
            return kind, self.all
        if self.sweep:
            by_start = sorted(schedule.starts[one] for one in self.all)
            return "time", self._window(schedule, size, by_start[int(self.sweep.pop(0) * len(by_start))])
        if kind == "time":
            return kind, self._window(schedule, size, schedule.starts[self.random.choice(self.all)])
        return kind, self._cars(schedule, size, kind == "bay")

    def answer(self, kind: str, proven: bool, share: float) -> None:
        """Takes in how the solver did with the last one: whether proven, and the share of its time."""
        size = self.sizes[kind]
        if proven and share < 0.5:
            self.sizes[kind] = min(size * 1.12, len(self.all))
        elif not proven:
            self.sizes[kind] = max(size * 0.93, 20)

    def _window(self, schedule: Schedule, size: int, middle: int) -> list[int]:
        """The tasks nearest to a moment."""
        near = sorted(
            self.all,
            key=lambda one: (abs((schedule.starts[one] + schedule.ends[one]) / 2 - middle), one),
        )
        return near[:size]

    def _cars(self, schedule: Schedule, size: int, same_bay: bool) -> list[int]:
        """All tasks of cars that meet a car that is drawn, the dear ones more likely."""
        cars = [car for car in self.it.cars if any(self.it.tasks[one].fixed is None for one in car.tasks)]
        dear = [car_cost(self.it, schedule, car) ** 0.5 + 1 for car in cars]
        seed = self.random.choices(cars, dear)[0]
        spans = {car.index: self._span(schedule, car) for car in cars}
        chosen: list[int] = []
        for car in self._nearest(seed, cars, spans, schedule, same_bay):
            mine = [one for one in car.tasks if self.it.tasks[one].fixed is None]
            if chosen and len(chosen) + len(mine) > size:
                break
            chosen += mine
        return sorted(chosen)

    def _nearest(
        self,
        seed: Car,
        cars: Sequence[Car],
        spans: dict[int, tuple[int, int]],
        schedule: Schedule,
        same_bay: bool,
    ) -> list[Car]:
        first, past = spans[seed.index]
        bays = {schedule.bays[one] for one in seed.holds}

        def distance(car: Car) -> float:
            begins, ends = spans[car.index]
            apart = max(begins - past, first - ends, 0) + abs(begins + ends - first - past) / 4
            other = same_bay and not bays & {schedule.bays[one] for one in car.holds[:1]}
            return (apart + (200 if other else 0) + 8) * (0.4 + self.random.random())

        others = sorted((car for car in cars if car is not seed), key=distance)
        return [seed, *others]

    def _span(self, schedule: Schedule, car: Car) -> tuple[int, int]:
        return min(schedule.starts[one] for one in car.tasks), max(schedule.ends[one] for one in car.tasks)

"""A problem in whole numbers: tasks, holds of bays, cars and pools, all on the axis of working time.

`compiling.py` makes it of a problem; dispatching, the model and the neighbourhoods read it.
"""

from dataclasses import dataclass, field

from jobs.planning.axis import Axis, Flags, Timing
from jobs.planning.problem import Problem


@dataclass(frozen=True)
class Pool:
    """People who are alike in all that counts, by their index in the problem."""

    members: tuple[int, ...]
    works: Flags

    @property
    def size(self) -> int:
        return len(self.members)


@dataclass(frozen=True)
class BayPool:
    """Bays that are alike; `closed` are ranges of positions (first, past) of the down times of one bay."""

    members: tuple[int, ...]
    closed: tuple[tuple[int, int], ...] = ()

    @property
    def size(self) -> int:
        return len(self.members)


@dataclass(frozen=True)
class Mode:
    """One way to man a task: how many of which pools; none for a task that takes nobody.

    The first demand is that of the person who does it.
    """

    demands: tuple[tuple[int, int], ...]
    timing: Timing


@dataclass(frozen=True)
class Task:
    """An operation to do or running. `fixed` is start and end of a running one, with its people."""

    index: int
    op: str
    car: int
    hold: int
    slots: int
    earliest: int
    after: tuple[int, ...]
    modes: tuple[Mode, ...]
    at_once_after: int = -1
    apart: tuple[int, ...] = ()
    fixed: tuple[int, int] | None = None
    people: tuple[int, ...] = ()


@dataclass(frozen=True)
class Hold:
    """A segment: its tasks and the pools of bays that it may take; `occupied` by the car already."""

    index: int
    car: int
    segment: str
    tasks: tuple[int, ...]
    pools: tuple[int, ...]
    occupied: bool
    keeps_for: int = -1


@dataclass(frozen=True)
class Car:
    """A job. Positions of due time; weight of a slot of lateness."""

    index: int
    job: str
    weight: int
    due: int
    tasks: tuple[int, ...]
    holds: tuple[int, ...]


@dataclass(frozen=True)
class Near:
    """What the accepted plan says of a task: the position of its start, its pool and its bay's pool."""

    start: int
    pool: int
    bay_pool: int


@dataclass(frozen=True)
class Compiled:
    """All of it. `first_up` are cars that go into a bay before any other that is not in one yet;
    `opens_after` what is better done before a hold begins, by its index (entering.py)."""

    problem: Problem
    axis: Axis
    pools: tuple[Pool, ...]
    bay_pools: tuple[BayPool, ...]
    tasks: tuple[Task, ...]
    holds: tuple[Hold, ...]
    cars: tuple[Car, ...]
    first_up: tuple[int, ...] = ()
    near: dict[int, Near] = field(default_factory=dict)
    followers: tuple[tuple[int, ...], ...] = ()
    opens_after: tuple[tuple[int, ...], ...] = ()

    @property
    def horizon(self) -> int:
        return len(self.axis)

    def waiting_holds(self, car: Car) -> tuple[Hold, ...]:
        """The first hold of a car that is in no bay and has not begun; none for any other car."""
        if any(self.holds[one].occupied for one in car.holds) or not car.holds:
            return ()
        return (self.holds[car.holds[0]],)


@dataclass
class Schedule:
    """Start, end, mode of each task and pool of each hold, by index; what dispatching and solving make."""

    starts: list[int]
    ends: list[int]
    modes: list[int]
    bays: list[int]

    def copy(self) -> "Schedule":
        return Schedule(self.starts[:], self.ends[:], self.modes[:], self.bays[:])


def held(compiled: Compiled, schedule: Schedule, hold: Hold) -> tuple[int, int]:
    """From when to when a hold has its bay."""
    begins = 0 if hold.occupied else min(schedule.starts[task] for task in hold.tasks)
    ends = max(schedule.ends[task] for task in hold.tasks)
    if hold.keeps_for >= 0:
        following = compiled.holds[hold.keeps_for]
        ends = max(ends, min(schedule.starts[task] for task in following.tasks))
    return begins, ends


def car_cost(compiled: Compiled, schedule: Schedule, car: Car) -> int:
    """What one car adds to the objective, the price of moves left out."""
    weights = compiled.problem.weights
    finish = max(schedule.ends[task] for task in car.tasks)
    cost = weights.flow * finish + weights.late * car.weight * max(0, finish - car.due)
    if weights.blocked:
        for hold in car.holds:
            begins, ends = held(compiled, schedule, compiled.holds[hold])
            cost += weights.blocked * (ends - begins)
    return cost


def moved(compiled: Compiled, schedule: Schedule) -> list[int]:
    """The near tasks that start elsewhere, with somebody else or in another bay than was accepted."""
    return [task for task, near in compiled.near.items() if _moved(compiled, schedule, task, near)]


def _moved(compiled: Compiled, schedule: Schedule, index: int, near: Near) -> bool:
    task = compiled.tasks[index]
    demands = task.modes[schedule.modes[index]].demands
    pool = demands[0][0] if demands else -1
    bay = schedule.bays[task.hold] if task.hold >= 0 else -1
    return (schedule.starts[index], pool, bay) != (near.start, near.pool, near.bay_pool)


def cost(compiled: Compiled, schedule: Schedule) -> int:
    """The objective in slots of the axis, with the price of what moved."""
    calm = compiled.problem.calm
    price = calm.price if calm else 0
    total = sum(car_cost(compiled, schedule, car) for car in compiled.cars)
    return total + (price * len(moved(compiled, schedule)) if price else 0)

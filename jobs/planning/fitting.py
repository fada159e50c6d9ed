"""Whether a schedule on the axis keeps every rule: for schedules put together from two."""

from collections.abc import Iterable, Sequence

from jobs.planning.compiled import Compiled, Schedule, held
from jobs.planning.dispatching import in_closed_bay
from jobs.planning.model import steps


def fits(compiled: Compiled, schedule: Schedule) -> bool:
    """True where order, people, bays and pins all hold."""
    return _in_order(compiled, schedule) and _manned(compiled, schedule) and _housed(compiled, schedule)


def _in_order(compiled: Compiled, schedule: Schedule) -> bool:
    for task in compiled.tasks:
        start = schedule.starts[task.index]
        if any(schedule.ends[before] > start for before in task.after):
            return False
        if task.at_once_after >= 0 and schedule.ends[task.at_once_after] != start:
            return False
        mine = {pool for pool, _ in task.modes[schedule.modes[task.index]].demands}
        for other in task.apart:
            theirs = compiled.tasks[other].modes[schedule.modes[other]].demands
            if mine & {pool for pool, _ in theirs}:
                return False
    return True


def _manned(compiled: Compiled, schedule: Schedule) -> bool:
    spans: list[list[tuple[int, int, int]]] = [[] for _ in compiled.pools]
    for task in compiled.tasks:
        for pool, count in task.modes[schedule.modes[task.index]].demands:
            first = -1 if task.fixed else schedule.starts[task.index]
            spans[pool].append((first, schedule.ends[task.index], count))
    return _within(spans, [pool.size for pool in compiled.pools])


def _housed(compiled: Compiled, schedule: Schedule) -> bool:
    spans: list[list[tuple[int, int, int]]] = [[] for _ in compiled.bay_pools]
    for hold in compiled.holds:
        if in_closed_bay(compiled, schedule, hold):
            return False
        begins, ends = held(compiled, schedule, hold)
        spans[schedule.bays[hold.index]].append((-1 if hold.occupied else begins, ends, 1))
    if not _within(spans, [pool.size for pool in compiled.bay_pools]):
        return False
    going_in = {
        car.index: held(compiled, schedule, hold)[0]
        for car in compiled.cars
        for hold in compiled.waiting_holds(car)
    }
    first = max((going_in[one] for one in compiled.first_up if one in going_in), default=0)
    return all(at >= first for car, at in going_in.items() if car not in compiled.first_up)


def _within(spans: Iterable[list[tuple[int, int, int]]], sizes: Iterable[int]) -> bool:
    return all(
        all(level <= size for _, _, level in steps(load)) and (size > 1 or _between(load))
        for load, size in zip(spans, sizes, strict=True)
    )


def _between(load: Sequence[tuple[int, int, int]]) -> bool:
    """Whether what takes no time falls between the others, into none of them."""
    instants = [first for first, past, _ in load if first == past]
    return not any(first < at < past for at in instants for first, past, _ in load)

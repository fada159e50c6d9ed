"""The tasks of the model: a start for each that is free to move, and the order among them."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from ortools.sat.python import cp_model
from ortools.sat.python.cp_model import BoolVarT, IntervalVar, IntVar

from jobs.planning.bounds import Bounds
from jobs.planning.compiled import Compiled, Mode, Schedule, Task

# A linear expression of the solver, or a number that stands for one.
Expression = Any


@dataclass
class Moving:
    """The variables of a free task; `ways` are mode, length and the literal that says so (or True)."""

    start: IntVar
    end: Expression
    ways: list[tuple[int, int, BoolVarT | bool]]


@dataclass
class Loads:
    """What lies upon one pool: intervals and what each takes."""

    intervals: list[IntervalVar] = field(default_factory=list)
    demands: list[int] = field(default_factory=list)

    def add(self, interval: IntervalVar, demand: int) -> None:
        self.intervals.append(interval)
        self.demands.append(demand)


class TaskModel:
    """What is free moves between its bounds; the rest stands as the schedule says."""

    def __init__(self, compiled: Compiled, schedule: Schedule, free: Iterable[int], limit: int) -> None:
        self.it, self.now, self.limit = compiled, schedule, limit
        self.free = {one for one in free if compiled.tasks[one].fixed is None}
        self.cp = cp_model.CpModel()
        self.bounds = Bounds(compiled, schedule, self.free, limit)
        self.people = [Loads() for _ in compiled.pools]
        self.moving = {index: self._moving(compiled.tasks[index]) for index in sorted(self.free)}
        for index in self.moving:
            self._order(compiled.tasks[index])

    def _hinted(self, variable: IntVar, value: int) -> IntVar:
        self.cp.add_hint(variable, value)
        return variable

    def _moving(self, task: Task) -> Moving:
        low, high = self.bounds.low[task.index], self.bounds.high[task.index]
        ways = [
            (number, length, self._start_domain(task, ranges, low, high - length))
            for number, mode in enumerate(task.modes)
            for length, ranges in mode.timing.lengths
        ]
        ways = [way for way in ways if not way[2].is_empty()]
        whole = cp_model.Domain.from_intervals([])
        for _, _, domain in ways:
            whole = whole.union_with(domain)
        at, until = self.now.starts[task.index], self.now.ends[task.index]
        start = self._hinted(self.cp.new_int_var_from_domain(whole, ""), at)
        if len(ways) == 1:
            number, length, _ = ways[0]
            interval = self.cp.new_fixed_size_interval_var(start, length, "")
            self._load(task.modes[number], interval)
            return Moving(start, start + length, [(number, length, True)])
        told: list[tuple[int, int, BoolVarT | bool]] = []
        for number, length, domain in ways:
            is_so = self.cp.new_bool_var("")
            self.cp.add_hint(is_so, (number, length) == (self.now.modes[task.index], until - at))
            if domain != whole:
                self.cp.add_linear_expression_in_domain(start, domain).only_enforce_if(is_so)
            interval = self.cp.new_optional_fixed_size_interval_var(start, length, is_so, "")
            self._load(task.modes[number], interval)
            told.append((number, length, is_so))
        self.cp.add_exactly_one(way[2] for way in told)
        lengths = {length for _, length, _ in told}
        if len(lengths) == 1:
            return Moving(start, start + lengths.pop(), told)
        end = self._hinted(self.cp.new_int_var(0, high, ""), until)
        self.cp.add(end == start + sum(length * is_so for _, length, is_so in told))
        return Moving(start, end, told)

    def _start_domain(
        self, task: Task, ranges: list[tuple[int, int]], low: int, high: int
    ) -> cp_model.Domain:
        cut = [[max(a, low), min(b, high)] for a, b in ranges if a <= high and b >= low]
        domain = cp_model.Domain.from_intervals(cut)
        if task.at_once_after >= 0:
            gaps = [[int(p), int(p)] for p in self.it.axis.opens.nonzero()[0]]
            domain = domain.intersection_with(cp_model.Domain.from_intervals(gaps).complement())
        return domain

    def _load(self, mode: Mode, interval: IntervalVar) -> None:
        for pool, count in mode.demands:
            self.people[pool].add(interval, count)

    def start(self, index: int) -> Expression:
        return self.moving[index].start if index in self.moving else self.now.starts[index]

    def end(self, index: int) -> Expression:
        return self.moving[index].end if index in self.moving else self.now.ends[index]

    def _order(self, task: Task) -> None:
        for before in task.after:
            self.cp.add(self.end(before) <= self.moving[task.index].start)
        for follower in self.it.followers[task.index]:
            if follower not in self.moving:
                self.cp.add(self.moving[task.index].end <= self.now.starts[follower])
        for index in (task.index, *self.it.followers[task.index]):
            before = self.it.tasks[index].at_once_after
            if before >= 0 and task.index in (index, before):
                self.cp.add(self.start(index) == self.end(before))
        for other in task.apart:
            self._apart(task, other)

    def _apart(self, task: Task, other: int) -> None:
        theirs = self.it.tasks[other]
        if other not in self.moving:
            ways: list[tuple[int, int, BoolVarT | bool]] = [(self.now.modes[other], 0, True)]
        elif other > task.index:
            return
        else:
            ways = self.moving[other].ways
        for number, _, mine in self.moving[task.index].ways:
            pools = {pool for pool, _ in task.modes[number].demands}
            for mode, _, one in ways:
                if pools & {pool for pool, _ in theirs.modes[mode].demands}:
                    self.cp.add_bool_or([negated(mine), negated(one)])


def negated(literal: BoolVarT | bool) -> BoolVarT | bool:
    return not literal if isinstance(literal, bool) else literal.negated()

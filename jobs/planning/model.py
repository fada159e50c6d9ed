"""The model for CP-SAT on the axis of working time: tasks that are free to move, bays that cars hold.

What is not free is a load upon its pools. The schedule is the hint, whole: every variable has its value
in it, so the first solution is the schedule itself.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from ortools.sat.python.cp_model import BoolVarT

from jobs.planning.compiled import Car, Compiled, Hold, Schedule, held
from jobs.planning.dispatching import at_an_instant
from jobs.planning.task_model import Expression, Loads, TaskModel, negated

Reading = Callable[[Expression], int]


@dataclass
class Standing:
    """The variables of a hold; `pools` is the literal of each pool that it may take (or True)."""

    begin: Expression
    end: Expression
    pools: list[tuple[int, BoolVarT | bool]]


class Model(TaskModel):
    """Built whole on making; `read` takes a schedule out of a solution."""

    def __init__(
        self, compiled: Compiled, schedule: Schedule, free: Iterable[int], limit: int, whole: bool = False
    ) -> None:
        super().__init__(compiled, schedule, free, limit)
        self.bay_loads = [Loads() for _ in compiled.bay_pools]
        touched = sorted({compiled.tasks[i].hold for i in self.free if compiled.tasks[i].hold >= 0})
        self.standing = {index: self._standing(compiled.holds[index]) for index in touched}
        for index in touched:
            self._keep(compiled.holds[index])
        self._first_up()
        self._fixed_people()
        self._fixed_bays()
        self._limit(self.people, [pool.size for pool in compiled.pools])
        self._limit(self.bay_loads, [pool.size for pool in compiled.bay_pools])
        if whole:
            self._together()
        terms = [term for car in self._touched_cars() for term in self._car_terms(car)]
        self.cp.minimize(sum(terms) + self._moves())

    def _standing(self, hold: Hold) -> Standing:
        begins, ends = held(self.it, self.now, hold)
        sources = [one for one in hold.tasks if not set(self.it.tasks[one].after) & set(hold.tasks)]
        sinks = [one for one in hold.tasks if not set(self.it.followers[one]) & set(hold.tasks)]
        begin: Expression = 0
        if not hold.occupied:
            starts = [self.start(one) for one in sources]
            begin = starts[0]
            if len(starts) > 1:
                variable = self._hinted(self.cp.new_int_var(0, self.limit, ""), begins)
                self.cp.add_min_equality(variable, starts)
                begin = variable
        stops = [self.end(one) for one in sinks]
        end = stops[0]
        if len(stops) > 1 or hold.keeps_for >= 0:
            variable = self._hinted(self.cp.new_int_var(0, self.limit, ""), ends)
            for stop in stops:
                self.cp.add(variable >= stop)
            end = variable
        stays = hold.occupied and len(hold.pools) == 1
        pools = hold.pools if set(hold.tasks) <= self.free or stays else (self.now.bays[hold.index],)
        return Standing(begin, end, self._pools(hold, begin, end, ends - begins, pools))

    def _pools(
        self, hold: Hold, begin: Expression, end: Expression, size: int, pools: tuple[int, ...]
    ) -> list[tuple[int, BoolVarT | bool]]:
        # Where the car stands already it has come before now: nothing goes in between.
        first, size = (-1, size + 1) if hold.occupied else (begin, size)
        length = self._hinted(self.cp.new_int_var(0, self.limit + 1, ""), size)
        if len(pools) == 1:
            self.bay_loads[pools[0]].add(self.cp.new_interval_var(first, length, end, ""), 1)
            self._closed(pools[0], begin, end, hold, True)
            return [(pools[0], True)]
        told: list[tuple[int, BoolVarT | bool]] = []
        for pool in pools:
            is_so = self.cp.new_bool_var("")
            self.cp.add_hint(is_so, pool == self.now.bays[hold.index])
            interval = self.cp.new_optional_interval_var(first, length, end, is_so, "")
            self.bay_loads[pool].add(interval, 1)
            self._closed(pool, begin, end, hold, is_so)
            told.append((pool, is_so))
        self.cp.add_exactly_one(is_so for _, is_so in told)
        return told

    def _closed(
        self, pool: int, begin: Expression, end: Expression, hold: Hold, is_so: BoolVarT | bool
    ) -> None:
        ends = [end, *(self.start(one) + 1 for one in at_an_instant(self.it, hold))]
        for first, past in self.it.bay_pools[pool].closed:
            if hold.occupied:  # it stands there from now on, so all of it is before
                for one in ends:
                    self.cp.add(one <= first).only_enforce_if(is_so)
                continue
            before = self.cp.new_bool_var("")
            self.cp.add_hint(before, held(self.it, self.now, hold)[1] <= first)
            for one in ends:
                self.cp.add(one <= first).only_enforce_if(before, is_so)
            self.cp.add(begin >= past).only_enforce_if(before.negated(), is_so)

    def _keep(self, hold: Hold) -> None:
        """A car that does not roll keeps its bay until it goes into the next."""
        for kept in (hold, *(h for h in self.it.holds if h.keeps_for == hold.index)):
            if kept.keeps_for >= 0 and kept.index in self.standing:
                following = self.it.holds[kept.keeps_for]
                self.cp.add(self.standing[kept.index].end >= self._begin(following))
            elif kept.keeps_for == hold.index:
                self.cp.add(self._begin(hold) <= held(self.it, self.now, kept)[1])

    def _begin(self, hold: Hold) -> Expression:
        if hold.index in self.standing:
            return self.standing[hold.index].begin
        return held(self.it, self.now, hold)[0]

    def _first_up(self) -> None:
        first = [h for car in self.it.first_up for h in self.it.waiting_holds(self.it.cars[car])]
        for car in self.it.cars if first else ():
            for hold in self.it.waiting_holds(car):
                for one in first:
                    if car.index not in self.it.first_up and {hold.index, one.index} & self.standing.keys():
                        self.cp.add(self._begin(hold) >= self._begin(one))

    def _fixed_people(self) -> None:
        spans: list[list[tuple[int, int, int]]] = [[] for _ in self.people]
        for task in self.it.tasks:
            if task.index not in self.free:
                # What runs began before now: nothing comes between, not even what takes no time.
                first = -1 if task.fixed else self.now.starts[task.index]
                for pool, count in task.modes[self.now.modes[task.index]].demands:
                    spans[pool].append((first, self.now.ends[task.index], count))
        self._load_fixed(self.people, spans)

    def _fixed_bays(self) -> None:
        spans: list[list[tuple[int, int, int]]] = [[] for _ in self.bay_loads]
        for hold in self.it.holds:
            if hold.index not in self.standing:
                begins, ends = held(self.it, self.now, hold)
                spans[self.now.bays[hold.index]].append((-1 if hold.occupied else begins, ends, 1))
        self._load_fixed(self.bay_loads, spans)

    def _load_fixed(self, loads: list[Loads], spans: list[list[tuple[int, int, int]]]) -> None:
        """What does not move, as steps of what it takes; only where something free could meet it."""
        for load, fixed in zip(loads, spans, strict=True):
            if load.intervals:
                at_once = sorted({one for one in fixed if one[0] == one[1]})
                for first, past, demand in [*steps(fixed), *at_once]:
                    if first < self.bounds.latest and past > self.bounds.earliest:
                        load.add(self.cp.new_fixed_size_interval_var(first, past - first, ""), demand)

    def _limit(self, loads: list[Loads], sizes: list[int]) -> None:
        for load, size in zip(loads, sizes, strict=True):
            if len(load.intervals) > 1 or any(demand > size for demand in load.demands):
                if size == 1:
                    self.cp.add_no_overlap(load.intervals)
                else:
                    self.cp.add_cumulative(load.intervals, load.demands, size)

    def _together(self) -> None:
        """Redundant: what only some pools of bays can take is limited by all of them together."""
        sets = {frozenset(hold.pools) for hold in self.it.holds if len(hold.pools) > 1}
        for pools in sets:
            held_there = [h for h in self.it.holds if set(h.pools) <= pools and h.index in self.standing]
            intervals = []
            for hold in held_there:
                span = self.standing[hold.index]
                length = self._hinted(self.cp.new_int_var(0, self.limit, ""), self._held_for(hold))
                intervals.append(self.cp.new_interval_var(span.begin, length, span.end, ""))
            room = sum(self.it.bay_pools[pool].size for pool in pools)
            self.cp.add_cumulative(intervals, [1] * len(intervals), room)

    def _held_for(self, hold: Hold) -> int:
        begins, ends = held(self.it, self.now, hold)
        return ends - begins

    def _touched_cars(self) -> list[Car]:
        return [self.it.cars[one] for one in sorted({self.it.tasks[i].car for i in self.free})]

    def _car_terms(self, car: Car) -> list[Expression]:
        weights = self.it.problem.weights
        sinks = [one for one in car.tasks if not set(self.it.followers[one]) & set(car.tasks)]
        at = max(self.now.ends[one] for one in sinks)
        stops = [self.end(one) for one in sinks]
        finish = stops[0]
        if len(stops) > 1:
            finish = self._hinted(self.cp.new_int_var(0, self.limit, ""), at)
            for stop in stops:
                self.cp.add(finish >= stop)
        late = self._hinted(self.cp.new_int_var(0, self.limit, ""), max(0, at - car.due))
        self.cp.add(late >= finish - car.due)
        terms = [weights.flow * finish, weights.late * car.weight * late]
        if weights.blocked:
            spans = [self.standing[one] for one in car.holds if one in self.standing]
            terms += [weights.blocked * (span.end - span.begin) for span in spans]
        return terms

    def _moves(self) -> Expression:
        """The price of near tasks that do not stay as they were accepted."""
        calm = self.it.problem.calm
        near = [one for one in self.it.near if one in self.moving]
        if calm is None or not near:
            return 0
        stays = [self._stays(one) for one in near]
        return calm.price * (len(stays) - sum(stays))

    def _stays(self, index: int) -> BoolVarT:
        task, near = self.it.tasks[index], self.it.near[index]
        way = task.modes[self.now.modes[index]].demands
        bay = self.now.bays[task.hold] if task.hold >= 0 else -1
        is_so = (self.now.starts[index], way[0][0] if way else -1, bay) == (
            near.start,
            near.pool,
            near.bay_pool,
        )
        stays = self._hinted(self.cp.new_bool_var(""), is_so)
        self.cp.add(self.moving[index].start == near.start).only_enforce_if(stays)
        for mode, _, literal in self.moving[index].ways:
            demands = task.modes[mode].demands
            if (demands[0][0] if demands else -1) != near.pool:
                self.cp.add_implication(stays, negated(literal))
        if task.hold >= 0:
            for pool, literal in self.standing[task.hold].pools:
                if pool != near.bay_pool:
                    self.cp.add_implication(stays, negated(literal))
        return stays

    def read(self, value: Reading) -> Schedule:
        """The schedule of a solution; `value` gives what a variable or an expression comes to."""
        found = self.now.copy()
        for index, moving in self.moving.items():
            found.starts[index] = value(moving.start)
            mode, length = next((m, n) for m, n, is_so in moving.ways if is_so is True or value(is_so))
            found.modes[index], found.ends[index] = mode, found.starts[index] + length
        for index, standing in self.standing.items():
            found.bays[index] = next(pool for pool, is_so in standing.pools if is_so is True or value(is_so))
        return found


def steps(spans: Iterable[tuple[int, int, int]]) -> list[tuple[int, int, int]]:
    """Spans of what each takes, as steps of what all of them take together, nothing left out."""
    changes: dict[int, int] = {}
    for first, past, demand in spans:
        if first < past:
            changes[first] = changes.get(first, 0) + demand
            changes[past] = changes.get(past, 0) - demand
    found: list[tuple[int, int, int]] = []
    level, since = 0, 0
    for at in sorted(changes):
        if not changes[at]:
            continue
        if level:
            found.append((since, at, level))
        level, since = level + changes[at], at
    return found

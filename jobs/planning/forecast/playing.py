"""One sample of the shop, event by event, as a shop goes that follows its plan.

Whoever is free takes, in the plan's order, what is ready. Nothing is begun out of its turn while the plan
holds: before its time by the plan an operation is begun only by whom and in which bay the plan has it, and
only if what stands before it there is under way, is late itself, or begins later than this will take. What
is late by the plan is done by anybody who may, in any bay that suits.
"""

from bisect import insort
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush

from jobs.planning.forecast.permitted import NEVER
from jobs.planning.forecast.shop_floor import SHOP, Shop, Task

READY, ENDED, WAKE = 0, 1, 2


@dataclass
class Floor:
    """How the floor stands: counts by task and way, who is busy (a bit each), what is ready, what comes."""

    waits: list[int]
    left_in: list[int]
    bay_of: list[int | None]
    bays: list[int | None]
    busy: int = 0
    people_on: dict[int, list[int]] = field(default_factory=dict)
    starts: dict[int, int] = field(default_factory=dict)
    ends: dict[int, int] = field(default_factory=dict)
    ready: list[tuple[int, int]] = field(default_factory=list)
    events: list[tuple[int, int, int]] = field(default_factory=list)
    woken: set[int] = field(default_factory=set)


class Played:
    """Events in order of time, and after each whatever can begin begins."""

    def __init__(self, shop: Shop, minutes: Sequence[int], parts: Sequence[int]) -> None:
        self.shop, self.minutes, self.parts = shop, minutes, parts
        self.floor = Floor(
            waits=[len(task.after) for task in shop.tasks],
            left_in=[len(way.tasks) for way in shop.ways],
            bay_of=[way.standing_in for way in shop.ways],
            bays=[None] * len(shop.closed),
        )
        self._turn = [0] * len(shop.turns)
        for number, way in enumerate(shop.ways):
            if way.standing_in is not None:
                self.floor.bays[way.standing_in] = number
        for number, task in enumerate(shop.tasks):
            if task.running_by is not None:
                self._begin(number, list(task.running_by), shop.now)
            elif not task.after:
                self._comes(number, shop.now)

    def ends(self) -> Iterator[tuple[int, int]]:
        """Each task with its end."""
        floor = self.floor
        while True:
            while floor.events:
                now = floor.events[0][0]
                while floor.events and floor.events[0][0] == now:
                    _at, what, number = heappop(floor.events)
                    self._happens(what, number, now)
                if floor.ready:
                    self._set_going(now)
            if not floor.ready or not self._push_out():
                break
        yield from floor.ends.items()

    def _happens(self, what: int, number: int, now: int) -> None:
        if what == READY:
            task = self.shop.tasks[number]
            insort(self.floor.ready, (task.rank, number))
            if task.due >= now:
                self._wake(task.due + 1)
        elif what == ENDED:
            self._ended(number, now)
        else:
            self.floor.woken.discard(now)

    def _comes(self, number: int, now: int) -> None:
        """A task that waits for no other: it is ready when its job is released and its parts are there."""
        task = self.shop.tasks[number]
        parts = task.parts_at + self.parts[number] if task.parts_at is not None else 0
        heappush(self.floor.events, (max(now, task.not_before, parts), READY, number))

    def _ended(self, number: int, now: int) -> None:
        shop, floor, task = self.shop, self.floor, self.shop.tasks[number]
        for person in floor.people_on[number]:
            floor.busy &= ~(1 << person)
        if task.stay >= 0:
            floor.left_in[task.stay] -= 1
            if floor.left_in[task.stay] == 0 and task.stay not in shop.kept_for:
                self._leave(task.stay)
        for following in shop.follow[number]:
            floor.waits[following] -= 1
            if floor.waits[following] == 0:
                self._comes(following, now)

    def _leave(self, way: int) -> None:
        bay = self.floor.bay_of[way]
        if bay is not None and self.floor.bays[bay] == way:
            self.floor.bays[bay] = None

    def _set_going(self, now: int) -> None:
        """Begin what can begin, the first of the plan's order first."""
        floor = self.floor
        idle = self.shop.at_work(now) & ~floor.busy
        stays = []
        short = False
        for rank, number in floor.ready:
            task = self.shop.tasks[number]
            if not _enough(task, idle, now):
                short = True
                stays.append((rank, number))
                continue
            if task.stay >= 0 and floor.bay_of[task.stay] is None and not self._has_room(task.stay, now):
                stays.append((rank, number))
                continue
            people = self._people(number, task, idle, now)
            if people is None:
                short = True
                stays.append((rank, number))
            elif not self._has_bay(task, now):
                stays.append((rank, number))
            else:
                for one in people:
                    idle &= ~(1 << one)
                self._begin(number, people, now)
        floor.ready = stays
        if short:
            self._wake(self.shop.next_shift(now))

    def _people(self, number: int, task: Task, idle: int, now: int) -> list[int] | None:
        """Who does it, of those who are idle; None while not all of them are."""
        if task.takes_nobody and not task.crew:
            return [] if self._permitted(task, SHOP, now) else None
        apart = {self.floor.people_on[n][0] for n in task.apart if self.floor.people_on.get(n)}
        if task.due >= now and task.planned:
            if task.planned[0] in apart:
                self._wake(task.due + 1)
            elif all(
                self._has_its_turn(one, number, task, now) and self._permitted(task, one, now)
                for one in task.planned
            ):
                return list(task.planned)
            return None
        taken: list[int] = []
        for people, count, does in self._wanted(task, now):
            for _n in range(count):
                barred = apart if does else ()
                free = (p for p in people if idle >> p & 1 and p not in taken and p not in barred)
                found = next((p for p in free if self._permitted(task, p, now)), None)
                if found is None:
                    return None
                taken.append(found)
        return taken

    def _wanted(self, task: Task, now: int) -> list[tuple[tuple[int, ...], int, bool]]:
        does = [] if task.takes_nobody else [(self._who_may(task, now), 1, True)]
        return [*does, *((people, count, False) for people, count in task.crew)]

    def _who_may(self, task: Task, now: int) -> tuple[int, ...]:
        """Who may do it now or later; anybody with the skill where those who were to may not any more."""
        if not task.lapses or any(self._first(task, one, now) < NEVER for one in task.people):
            return task.people
        return task.instead

    def _first(self, task: Task, person: int, now: int) -> int:
        """The first working minute, from now on, at which that person may begin it."""
        number = self.shop.hours[person].number_of(now)
        starts = task.permits.get(person)
        return number if starts is None else starts.one(number)

    def _permitted(self, task: Task, person: int, now: int) -> bool:
        """Whether that person may begin it now, by its day, instruments and certificates."""
        starts = task.permits.get(person)
        if starts is None:
            return True
        hours = self.shop.anybody if person == SHOP else self.shop.hours[person]
        number = hours.number_of(now)
        first = starts.one(number)
        if first < NEVER and hours.minute_one(first) > now:
            self._wake(hours.minute_one(first))
            return False
        return first < NEVER or not any(self._first(task, one, now) < NEVER for one in task.instead)

    def _has_its_turn(self, person: int, number: int, task: Task, now: int) -> bool:
        """Whether what the plan has for that person before it is begun, late, or to come after its end."""
        turns, starts = self.shop.turns[person], self.floor.starts
        at = self._turn[person]
        while at < len(turns) and turns[at] in starts:
            at += 1
        self._turn[person] = at
        ends = 0
        for before in turns[at:]:
            if before == number:
                return True
            due = self.shop.tasks[before].due
            if before in starts or due < now:
                continue
            ends = ends or self.shop.hours[person].end_one(now, task.expected)
            if ends > due:
                self._wake(due + 1)
                return False
        return True

    def _wake(self, at: int) -> None:
        if at < self.shop.clock.horizon and at not in self.floor.woken:
            self.floor.woken.add(at)
            heappush(self.floor.events, (at, WAKE, 0))

    def _has_bay(self, task: Task, now: int) -> bool:
        """Whether the car has its bay; one that it may have now is taken."""
        if task.stay < 0 or self.floor.bay_of[task.stay] is not None:
            return True
        way = self.shop.ways[task.stay]
        if any(self.floor.bay_of[before] is None for before in way.behind):
            return False
        if way.due >= now and not self._is_next(task.stay, way.bays[0], now):
            return False
        for bay in way.bays if way.due < now else way.bays[:1]:
            if self._is_free(bay, task.stay) and self._is_open(bay, way.length, now):
                self._take(task.stay, bay)
                return True
        return False

    def _has_room(self, way: int, now: int) -> bool:
        """Whether any bay that it may have now is free; quicker than to ask for people first."""
        there = self.shop.ways[way]
        return any(self._is_free(bay, way) for bay in (there.bays if there.due < now else there.bays[:1]))

    def _is_next(self, way: int, bay: int, now: int) -> bool:
        """Whether every car that the plan has in that bay before it has gone into one, or is late."""
        for before in self.shop.lines[bay]:
            if before == way:
                return True
            due = self.shop.ways[before].due
            if self.floor.bay_of[before] is None and due >= now:
                self._wake(due + 1)
                return False
        return True

    def _is_free(self, bay: int, way: int) -> bool:
        """Whether nobody is in it, or only this car, on its way out of it."""
        there = self.floor.bays[bay]
        return there is None or (there == self.shop.ways[way].follows and self.floor.left_in[there] == 0)

    def _is_open(self, bay: int, length: int, now: int) -> bool:
        for starts, ends in self.shop.closed[bay]:
            if now < ends and starts < now + length:
                self._wake(ends)
                return False
        return True

    def _take(self, way: int, bay: int) -> None:
        follows = self.shop.ways[way].follows
        if follows is not None:
            self._leave(follows)
        self.floor.bays[bay], self.floor.bay_of[way] = way, bay

    def _begin(self, number: int, people: list[int], now: int) -> None:
        hours = self.shop.hours[people[0]] if people else self.shop.anybody
        end = hours.end_one(now, self.minutes[number])
        for one in people:
            self.floor.busy |= 1 << one
        self.floor.people_on[number] = people
        self.floor.starts[number], self.floor.ends[number] = now, end
        heappush(self.floor.events, (end, ENDED, number))

    def _push_out(self) -> bool:
        """Cars that wait for each other's bays, none of which rolls: one is rolled out of the way."""
        for way, bay in enumerate(self.floor.bay_of):
            if bay is not None and self.floor.left_in[way] == 0 and self.floor.bays[bay] == way:
                self._leave(way)
                heappush(self.floor.events, (max(self.floor.ends.values(), default=self.shop.now), WAKE, 0))
                return True
        return False


def _enough(task: Task, idle: int, now: int) -> bool:
    """Whether those whom the plan has are all idle, or, where it is late, any who may."""
    if task.due >= now and task.planned:
        return task.needs & ~idle == 0
    return not task.any_of or bool(task.any_of & idle)

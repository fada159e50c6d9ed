"""One sample of the shop, event by event: whenever somebody or a bay is free, the next ready car begins."""

from bisect import insort
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush

from jobs.planning.forecast.shop_floor import Shop, Task

READY, ENDED, WAKE = 0, 1, 2


@dataclass
class Floor:
    """How the floor stands: counts by task and way, who is busy, what is ready, what comes."""

    waits: list[int]
    left_in: list[int]
    bay_of: list[int | None]
    bays: list[int | None]
    busy: set[int] = field(default_factory=set)
    people_on: dict[int, list[int]] = field(default_factory=dict)
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
        for number, way in enumerate(shop.ways):
            if way.standing_in is not None:
                self.floor.bays[way.standing_in] = number
        for number, task in enumerate(shop.tasks):
            if task.running_by is not None:
                self._begin(number, [task.running_by], shop.now)
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
                self._set_going(now)
            if not floor.ready or not self._push_out():
                break
        yield from floor.ends.items()

    def _happens(self, what: int, number: int, now: int) -> None:
        if what == READY:
            insort(self.floor.ready, (self.shop.tasks[number].rank, number))
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
        floor.busy.difference_update(floor.people_on[number])
        if task.stay >= 0:
            floor.left_in[task.stay] -= 1
            way = shop.ways[task.stay]
            if floor.left_in[task.stay] == 0 and (way.rolls or way.following is None):
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
        if not floor.ready:
            return
        stays = []
        nobody: set[tuple[int, ...]] = set()  # of whom nobody is free just now
        for rank, number in floor.ready:
            task = self.shop.tasks[number]
            people = None if task.people in nobody else self._people(task, now, nobody)
            if people is None or not self._has_bay(task, now):
                stays.append((rank, number))
            else:
                self._begin(number, people, now)
        floor.ready = stays

    def _people(self, task: Task, now: int, nobody: set[tuple[int, ...]]) -> list[int] | None:
        """Who does it and who is there; None while not all of them are free and at work."""
        taken: list[int] = []
        if task.takes_nobody:
            return taken
        wanted = [(task.people, 1, True), *((people, count, False) for people, count in task.crew)]
        for people, count, does in wanted:
            for _n in range(count):
                found = self._free(people, taken, task.apart if does else (), now)
                if found is None:
                    if does and not task.apart:
                        nobody.add(people)
                    return None
                taken.append(found)
        return taken

    def _free(
        self, people: Sequence[int], taken: Sequence[int], apart: Sequence[int], now: int
    ) -> int | None:
        did = {self.floor.people_on[number][0] for number in apart if self.floor.people_on.get(number)}
        next_shift = self.shop.clock.horizon
        for person in people:
            if person in self.floor.busy or person in taken or person in did:
                continue
            begins = self.shop.hours[person].begin_one(now)
            if begins == now:
                return person
            next_shift = min(next_shift, begins)
        self._wake(next_shift)
        return None

    def _wake(self, at: int) -> None:
        if at < self.shop.clock.horizon and at not in self.floor.woken:
            self.floor.woken.add(at)
            heappush(self.floor.events, (at, WAKE, 0))

    def _has_bay(self, task: Task, now: int) -> bool:
        """Whether the car has its bay; a free one that fits is taken."""
        if task.stay < 0 or self.floor.bay_of[task.stay] is not None:
            return True
        for bay in self.shop.ways[task.stay].bays:
            if self.floor.bays[bay] is None and self._is_open(bay, now):
                self._take(task.stay, bay)
                return True
        return False

    def _is_open(self, bay: int, now: int) -> bool:
        for starts, ends in self.shop.closed[bay]:
            if starts <= now < ends:
                self._wake(ends)
                return False
        return True

    def _take(self, way: int, bay: int) -> None:
        self.floor.bays[bay], self.floor.bay_of[way] = way, bay
        for earlier, one in enumerate(self.shop.ways):
            if one.following == way and not one.rolls:
                self._leave(earlier)

    def _begin(self, number: int, people: list[int], now: int) -> None:
        hours = self.shop.hours[people[0]] if people else self.shop.anybody
        end = hours.end_one(now, self.minutes[number])
        self.floor.busy.update(people)
        self.floor.people_on[number] = people
        self.floor.ends[number] = end
        heappush(self.floor.events, (end, ENDED, number))

    def _push_out(self) -> bool:
        """Cars that wait for each other's bays, none of which rolls: one is rolled out of the way."""
        for way, bay in enumerate(self.floor.bay_of):
            if bay is not None and self.floor.left_in[way] == 0 and self.floor.bays[bay] == way:
                self._leave(way)
                heappush(self.floor.events, (max(self.floor.ends.values(), default=self.shop.now), WAKE, 0))
                return True
        return False

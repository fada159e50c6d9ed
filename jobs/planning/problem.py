"""A planning problem as plain data: what there is, what is to be done, what holds.

Times are naive local `datetime`s to the minute, durations whole minutes of working time. Identities
are texts and are unique within their kind (operations over all jobs). The dataclasses hold what they
are given; `faults.py` says in words what about a problem cannot be planned.
"""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property
from types import MappingProxyType

MINUTES_A_DAY = 24 * 60
SLOT_MINUTES = 15


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of time, its end not included."""

    starts: dt.datetime
    ends: dt.datetime

    def overlaps(self, other: "Span") -> bool:
        return self.starts < other.ends and other.starts < self.ends


@dataclass(frozen=True, slots=True, order=True)
class Shift:
    """Working time within one day, in minutes from midnight, 0 to 1440; the end is not included."""

    starts: int
    ends: int


@dataclass(frozen=True)
class Calendar:
    """Working hours by weekday (Monday first), and days on which they are others."""

    id: str
    week: tuple[tuple[Shift, ...], ...]
    exceptions: Mapping[dt.date, tuple[Shift, ...]] = field(default_factory=lambda: MappingProxyType({}))

    def shifts_on(self, day: dt.date) -> tuple[Shift, ...]:
        return self.exceptions[day] if day in self.exceptions else self.week[day.weekday()]


@dataclass(frozen=True)
class Bay:
    """A place for one car; `down` are the times at which it is closed."""

    id: str
    features: frozenset[str]
    down: tuple[Span, ...] = ()


@dataclass(frozen=True, slots=True)
class Certificate:
    """A skill that its holder has on some days only; both days included, None is open."""

    skill: str
    valid_from: dt.date | None = None
    valid_until: dt.date | None = None

    def covers(self, first: dt.date, last: dt.date) -> bool:
        begun = self.valid_from is None or self.valid_from <= first
        return begun and (self.valid_until is None or last <= self.valid_until)


@dataclass(frozen=True)
class Person:
    """Somebody who works; `skills` are held for good, `certificates` on their days."""

    id: str
    skills: frozenset[str]
    calendar: str
    absences: tuple[Span, ...] = ()
    certificates: tuple[Certificate, ...] = ()

    def may(self, skill: str, first: dt.date, last: dt.date) -> bool:
        """Whether this person has the skill on all the days from the first to the last."""
        return skill in self.skills or any(
            one.skill == skill and one.covers(first, last) for one in self.certificates
        )

    def ever_may(self, skill: str) -> bool:
        return skill in self.skills or any(one.skill == skill for one in self.certificates)


@dataclass(frozen=True)
class Instrument:
    """A measuring instrument that several may share; while `out` for calibration nobody has it."""

    id: str
    kind: str
    out: tuple[Span, ...] = ()


class Status(StrEnum):
    TODO = "todo"
    RUNNING = "running"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class Crew:
    """Further people who are there for the whole of an operation, each another person."""

    skill: str
    count: int = 1


@dataclass(frozen=True)
class Operation:
    """One piece of work.

    `skill` None takes nobody (a time that has to pass, counted in working hours). `same_day`: begun and
    ended on one date. `unbroken`: no break, no end of shift in between. `at_once_after`: begins at the
    instant at which that operation of the same job ends (a fire watch after the weld). `crew`: who else
    is there throughout, a witness for one; none of them is the person who does it.
    `not_same_person_as`: done by nobody who does one of those. `instruments`: kinds of which one must
    not be out. `bay_features`: what the bay must have, beside what its segment takes. A running
    operation has `person`, `others` (its crew), `started` and `remaining_minutes`.
    """

    id: str
    minutes: int
    skill: str | None
    segment: str | None
    stage: str = ""
    after: tuple[str, ...] = ()
    parts_at: dt.datetime | None = None
    hold: bool = False
    same_day: bool = False
    not_same_person_as: tuple[str, ...] = ()
    status: Status = Status.TODO
    person: str | None = None
    started: dt.datetime | None = None
    remaining_minutes: int | None = None
    unbroken: bool = False
    at_once_after: str | None = None
    crew: tuple[Crew, ...] = ()
    others: tuple[str, ...] = ()
    instruments: tuple[str, ...] = ()
    bay_features: frozenset[str] = frozenset()

    @property
    def work_minutes(self) -> int:
        """What is left to do: all of it, or what remains of a running operation; none when done."""
        if self.status is Status.DONE:
            return 0
        return (self.remaining_minutes or 0) if self.status is Status.RUNNING else self.minutes


@dataclass(frozen=True)
class Segment:
    """A part of a job's way in one bay, held from its first operation's start to its last one's end.

    `bay` is the one that the car stands in already. After a segment that leaves the car `rolls` it may
    wait in the yard; else it keeps the bay until the next segment in order begins.
    """

    id: str
    bay_features: frozenset[str]
    bay: str | None = None
    rolls: bool = True


@dataclass(frozen=True)
class Job:
    """One car. `weight` is what a slot of lateness counts; segments stand in their order."""

    id: str
    weight: int
    release: dt.datetime
    due: dt.datetime
    segments: tuple[Segment, ...]
    operations: tuple[Operation, ...]
    name: str = ""

    def takes(self, segment: Segment) -> frozenset[str]:
        """What a bay must have for a segment: its own features and those of what is still to do in it."""
        mine = (one for one in self.operations if one.segment == segment.id and one.status is Status.TODO)
        return segment.bay_features.union(*(one.bay_features for one in mine))


class PinKind(StrEnum):
    BAY = "bay"
    PERSON = "person"
    NOT_BEFORE = "not before"
    NEXT_UP = "next up"


@dataclass(frozen=True)
class Pin:
    """What the manager has decided.

    BAY: `job` and `bay` (and `segment`, else its first that is still to come). PERSON: `operation` and
    `person`. NOT_BEFORE: `job` or `operation`, and `at`. NEXT_UP: of the cars that are not in a bay yet,
    none goes into one before `job`.
    """

    id: str
    kind: PinKind
    job: str = ""
    operation: str = ""
    segment: str = ""
    bay: str = ""
    person: str = ""
    at: dt.datetime | None = None


@dataclass(frozen=True, slots=True)
class Weights:
    """What a slot counts for: of lateness (times the job's weight), of a bay held, of flow.

    Flow is the working time from now to a job's finish.
    """

    late: int
    blocked: int
    flow: int


NEUTRAL = Weights(late=10, blocked=0, flow=1)
# In this order: a quarter of an hour of a promise outweighs a hundred of a bay held, each a hundred of flow.
SHOP = Weights(late=10_000, blocked=100, flow=1)
# What starts within so many days moves for more than half an hour of a promise, or fifty hours of a bay.
CALM_DAYS, CALM_PRICE = 2, 20_000


@dataclass(frozen=True)
class Calm:
    """What the accepted plan says about the near future.

    An operation that was to start before `until` and now starts at another time, with another person or
    in another bay costs `price` slots of the objective: it moves for a gain greater than that.
    """

    until: dt.datetime
    price: int
    starts: Mapping[str, dt.datetime]
    people: Mapping[str, str]
    bays: Mapping[str, str | None]


@dataclass(frozen=True)
class Problem:
    """All of it. Nothing that is to do starts before `now`; every time is a multiple of the slot
    or is taken as finely as it is given."""

    name: str
    now: dt.datetime
    calendars: tuple[Calendar, ...]
    bays: tuple[Bay, ...]
    people: tuple[Person, ...]
    jobs: tuple[Job, ...]
    instruments: tuple[Instrument, ...] = ()
    pins: tuple[Pin, ...] = ()
    calm: Calm | None = None
    weights: Weights = NEUTRAL
    slot_minutes: int = SLOT_MINUTES
    seed: int = 0

    @cached_property
    def calendar(self) -> dict[str, Calendar]:
        return {one.id: one for one in self.calendars}

    @cached_property
    def bay(self) -> dict[str, Bay]:
        return {one.id: one for one in self.bays}

    @cached_property
    def person(self) -> dict[str, Person]:
        return {one.id: one for one in self.people}

    @cached_property
    def job(self) -> dict[str, Job]:
        return {one.id: one for one in self.jobs}

    @cached_property
    def operation(self) -> dict[str, Operation]:
        return {one.id: one for one in self.operations()}

    @cached_property
    def job_of(self) -> dict[str, Job]:
        """The job of each operation, by the operation's identity."""
        return {one.id: job for job in self.jobs for one in job.operations}

    def operations(self) -> Iterator[Operation]:
        for job in self.jobs:
            yield from job.operations

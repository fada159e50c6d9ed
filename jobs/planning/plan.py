"""A plan as plain data: who does what, where and when, and when each car is finished.

Times are naive local `datetime`s; a span of work does not include its end. `Proposal` is what a search
hands back: the plan, its objective, the proven bound, and in words what could not be planned.
"""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from jobs.planning.problem import Problem


@dataclass(frozen=True, slots=True)
class Assignment:
    """One operation, running or to do. `person` is None where it takes nobody, `bay` on the bench."""

    op: str
    person: str | None
    bay: str | None
    start: dt.datetime
    end: dt.datetime
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class JobFinish:
    """The latest end of a job's operations; tardy by calendar minutes after its due time, 0 if in time."""

    job: str
    finish: dt.datetime
    tardy_minutes: int
    p50: dt.datetime | None = None
    p80: dt.datetime | None = None


@dataclass(frozen=True)
class Plan:
    """What stands for the problem named `instance`; one assignment for each operation not yet done."""

    instance: str
    assignments: tuple[Assignment, ...]
    jobs: tuple[JobFinish, ...]
    frozen_from: str | None = None

    @cached_property
    def of(self) -> dict[str, Assignment]:
        """The assignment of each operation, by the operation's identity."""
        return {one.op: one for one in self.assignments}

    @cached_property
    def finish_of(self) -> dict[str, JobFinish]:
        return {one.job: one for one in self.jobs}


@dataclass(frozen=True, slots=True)
class Fault:
    """Something that cannot be planned as given: where, what, and the way out, in words."""

    where: str
    what: str
    way_out: str
    job: str = ""
    operation: str = ""

    def __str__(self) -> str:
        return f"{self.where}: {self.what}. {self.way_out}"


@dataclass(frozen=True)
class Proposal:
    """What a search has found so far.

    `planned` is the problem that the plan answers: without what could not be planned and without pins
    that clash. `objective` and `bound` are in slots as its weights say, the price of moves not counted;
    `bound` is None where nothing is proven. `moved` are the near operations that a calm plan moved.
    `clashing_pins` is a smallest set of pins that cannot all be honoured; the plan goes without them.
    """

    plan: Plan
    objective: int
    bound: int | None = None
    proven: bool = False
    faults: tuple[Fault, ...] = ()
    clashing_pins: tuple[str, ...] = ()
    moved: tuple[str, ...] = ()
    planned: Problem | None = None


@dataclass(frozen=True)
class SoFar:
    """The best of a search that goes on, told as it is found.

    `objective` and `bound` in slots, the price of moves counted in both; `seconds` since the search began.
    `make` gives the proposal, gone through the checker; that takes some time, so it is left to whoever
    wants to look.
    """

    objective: int
    bound: int | None
    seconds: float
    make: Callable[[], Proposal]

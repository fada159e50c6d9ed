"""One car as the plan takes it: its operations with what is left of each, the looks and watches they take."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from jobs.models import Flag, Job
from jobs.planning import problem as planning
from jobs.plans.crew import ANY_WORK, LEAD, skill_word
from jobs.plans.hours import whole_slots
from jobs.plans.route import LOOK, LOOK_MINUTES, WATCH, Route, due_of, segment_id, segments_of
from jobs.plans.shop_state import ShopState, WorkDone
from jobs.plans.supply import Supply, supply_of
from jobs.record import JobRecord, OperationStanding

# Least that is left of an operation that has taken longer than it should: nobody knows, so little is said.
LEAST_LEFT = 30


@dataclass(frozen=True)
class Whose:
    """Which operation of which job an operation of the problem is, and which part of it."""

    standing: OperationStanding
    job: Job
    part: str = ""


@dataclass
class CarWork:
    """Builds the planning job of one car."""

    state: ShopState
    record: JobRecord
    busy: set[int]
    whose: dict[str, Whose] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.route = Route(self.record)
        self.supply: Supply = supply_of(self.record, today=self.state.today)

    def job(self, now: dt.datetime) -> planning.Job:
        due, weight = due_of(self.record, now)
        job = self.record.job
        return planning.Job(
            id=self.route.job_id,
            weight=weight,
            release=now,
            due=due,
            segments=segments_of(self.route, self.state.settings.stage_features),
            operations=tuple(self._operations()),
            name=f"{job.number} {job.vehicle.description}",
        )

    def _operations(self) -> Iterator[planning.Operation]:
        for judged in {code for o in self.route.open for code in self.route.judged(o)}:
            yield from self._welded(judged)
        for operation in self.route.open:
            yield from self._with_its_parts(operation)

    def _welded(self, code: str) -> Iterator[planning.Operation]:
        """Welds that are made: whoever made them may not judge them."""
        operation = self.record.find(code)
        if operation is None or not operation.is_done:
            return
        names = [self.state.names[key] for key in self.record.welders(code) if key in self.state.names]
        if names:
            yield planning.Operation(
                id=self.route.id_of(operation),
                minutes=0,
                skill=None,
                segment=None,
                status=planning.Status.DONE,
                person=names[0],
                others=tuple(names[1:]),
            )

    def _with_its_parts(self, operation: OperationStanding) -> Iterator[planning.Operation]:
        main = self._main(operation)
        yield self._noted(main, operation)
        if self._needs_watch(operation):
            yield self._noted(self._watch(main), operation, WATCH)
        if self.route.needs_look(operation):
            yield self._noted(self._look(main, operation), operation, LOOK)

    def _noted(
        self, made: planning.Operation, operation: OperationStanding, part: str = ""
    ) -> planning.Operation:
        self.whose[made.id] = Whose(operation, self.record.job, part)
        return made

    def _main(self, operation: OperationStanding) -> planning.Operation:
        done = self.state.worked.get(operation.job_operation.pk, WorkDone())
        standard = operation.operation.standard_minutes
        left = whole_slots(max(standard - done.minutes, LEAST_LEFT if operation.is_in_work else 0))
        person = self._at_work(operation, done)
        apart = tuple(f"{self.route.job_id}/{code}" for code in sorted(self.route.judged(operation)))
        plain = planning.Operation(
            id=self.route.id_of(operation),
            minutes=left,
            skill=skill_word(operation.operation.skill),
            segment=self._segment(operation),
            stage=operation.operation.stage,
            after=tuple(last for o in self.route.before(operation) for last in self._lasts(o)),
            parts_at=self.supply.comes.get(operation.code),
            hold=operation.operation.is_hold_point,
            same_day=self._fits_a_day(operation, left),
            not_same_person_as=apart,
            instruments=() if operation.is_in_work else self.route.instruments(operation),
            bay_features=frozenset(operation.operation.bay_features),
        )
        return self._running(plain, person, left) if person else plain

    def _running(self, plain: planning.Operation, person: str, left: int) -> planning.Operation:
        """In somebody's hands at this moment: it stays with them. Whoever started it was allowed to."""
        return planning.Operation(
            **{
                **{name: getattr(plain, name) for name in ("id", "minutes", "segment", "stage", "hold")},
                "skill": ANY_WORK,
                "after": (),
                "status": planning.Status.RUNNING,
                "person": person,
                "started": self.state.clock.quarter_before(self.state.now),
                "remaining_minutes": left,
            }
        )

    def _at_work(self, operation: OperationStanding, done: WorkDone) -> str:
        """Who has it in hand, once for each person; nobody where it is paused or its turn has ended."""
        for key in done.at_work:
            if key in self.state.names and key not in self.busy and self._is_there(key):
                self.busy.add(key)
                return self.state.names[key]
        return ""

    def _is_there(self, key: int) -> bool:
        person = next(p for p in self.state.people if p.pk == key)
        away = any(a.first_day <= self.state.today <= a.last_day for a in person.absences.all())
        return not away and ANY_WORK_ROLES.issuperset({person.role})

    def _segment(self, operation: OperationStanding) -> str | None:
        number = self.route.stay_of.get(operation.code)
        return None if number is None else segment_id(self.route, number)

    def _lasts(self, operation: OperationStanding) -> tuple[str, ...]:
        """What an operation ends with: its work, its watch, the second person's look."""
        parts = [""]
        parts += [WATCH] if self._needs_watch(operation) else []
        parts += [LOOK] if self.route.needs_look(operation) else []
        return tuple(self.route.id_of(operation, part) for part in parts)

    def _needs_watch(self, operation: OperationStanding) -> bool:
        return operation.does(Flag.FINISH_WELD)

    @property
    def _watch_minutes(self) -> int:
        return whole_slots(self.state.settings.watch_minutes)

    def _fits_a_day(self, operation: OperationStanding, left: int) -> bool:
        """A finish weld and its watch end on the day on which it began, where a day is long enough."""
        if not operation.does(Flag.FINISH_WELD):
            return False
        return left + self._watch_minutes <= longest_day(self.state.settings.hours)

    def _watch(self, main: planning.Operation) -> planning.Operation:
        """Somebody stays with what was welded, from the last spark on, and nobody goes home before."""
        return planning.Operation(
            id=f"{main.id} {WATCH}",
            minutes=self._watch_minutes,
            skill=ANY_WORK,
            segment=main.segment,
            stage=main.stage,
            at_once_after=main.id,
            same_day=True,
        )

    def _look(self, main: planning.Operation, operation: OperationStanding) -> planning.Operation:
        return planning.Operation(
            id=f"{main.id} {LOOK}",
            minutes=LOOK_MINUTES,
            skill=LEAD if operation.operation.is_hold_point else ANY_WORK,
            segment=main.segment,
            stage=main.stage,
            after=(main.id, *([f"{main.id} {WATCH}"] if self._needs_watch(operation) else [])),
            not_same_person_as=(main.id,),
        )


ANY_WORK_ROLES = frozenset({"fabricator", "lead"})


def longest_day(hours: Mapping[str, list[list[str]]]) -> int:
    """Minutes of the shop's longest day."""
    return max((sum(_minutes(*window) for window in day) for day in hours.values()), default=0)


def _minutes(begins: str, ends: str) -> int:
    a, b = dt.time.fromisoformat(begins), dt.time.fromisoformat(ends)
    return (b.hour - a.hour) * 60 + b.minute - a.minute

"""Everything of one job on one page: who, which car, where it is, what it waits for, what was done."""

import datetime as dt
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from jobs.changes import Change, changes_of
from jobs.condition import Condition, condition_of
from jobs.desk.forms import EntryForm, MoveForm
from jobs.desk.history import Line, history_of
from jobs.desk.money_forms import AuthorityForm
from jobs.desk.panel import Against, Problem, against, blocked_since, problems
from jobs.desk.progress import rule_of, where_is_it
from jobs.desk.rule_picture import RulePicture
from jobs.desk.waiting import Wait, reasons_in_hand, waits_of
from jobs.gates.conditions import reasons_against_release
from jobs.kept_records import KEPT_RECORDS
from jobs.models import Job, Stage, Stands
from jobs.need import need_date, ready_date
from jobs.reasons import Reason
from jobs.record import CheckpointStanding, CheckState, JobRecord, OperationStanding
from jobs.recording.authority import DESK_ROLES
from parts.in_time import comes_too_late, why_too_late
from parts.standing import LineStanding
from shop.models import Person, Role


@dataclass(frozen=True)
class Shortage:
    """A part that is missing, with the day on which it is needed."""

    line: LineStanding
    operation: OperationStanding | None
    needed_on: dt.date | None

    @property
    def comes_too_late(self) -> bool:
        return comes_too_late(self.line.eta, self.needed_on)

    @property
    def why_too_late(self) -> str:
        return why_too_late(self.line.eta, self.needed_on)


@dataclass(frozen=True)
class StageOperations:
    """One stage with its operations on this car."""

    stage: Stage
    operations: tuple[OperationStanding, ...]


@dataclass(frozen=True)
class JobPage:
    """The page of one job as `viewer` sees it."""

    record: JobRecord
    viewer: Person
    now: dt.datetime
    history: tuple[Line, ...]

    @classmethod
    def load(cls, job: Job, *, viewer: Person, now: dt.datetime) -> "JobPage":
        return cls(KEPT_RECORDS.load(job), viewer, now, history_of(job))

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def where(self) -> str:
        return where_is_it(self.record)

    @cached_property
    def condition(self) -> Condition:
        return condition_of(self.job)

    @cached_property
    def rule(self) -> RulePicture:
        return rule_of(self.record, now=self.now)

    @cached_property
    def waits(self) -> tuple[Wait, ...]:
        """What it waits for from somebody; the gates have a section of their own."""
        return tuple(w for w in waits_of(self.record, now=self.now) if w.what != "gate")

    @cached_property
    def against(self) -> tuple[Against, ...]:
        operation = self.record.in_hand
        if operation is None:
            return ()
        return against(self.record, operation, reasons_in_hand(self.record, now=self.now), viewer=self.viewer)

    @cached_property
    def shortages(self) -> tuple[Shortage, ...]:
        return tuple(self._shortage(line) for line in self.record.kit.shortages)

    def _shortage(self, line: LineStanding) -> Shortage:
        operation = self.record.find(line.operation)
        need = need_date(self.record, operation, now=self.now) if operation else None
        return Shortage(line, operation, need)

    @property
    def stages(self) -> tuple[StageOperations, ...]:
        """In the order of the route: after rework a stage may come again."""
        runs = groupby(self.record.operations, key=lambda o: o.operation.stage)
        return tuple(StageOperations(Stage(stage), tuple(of_stage)) for stage, of_stage in runs)

    @cached_property
    def problems(self) -> tuple[Problem, ...]:
        return problems(self.record, self.record.nonconformances, viewer=self.viewer)

    @cached_property
    def accepted(self) -> tuple[CheckpointStanding, ...]:
        """Checkpoints that stand closed because somebody took their result as it is."""
        return tuple(c for c in self.record.checkpoints if c.state == CheckState.ACCEPTED)

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        """What was changed about the route of this car."""
        return changes_of(self.record)

    @property
    def ready_on(self) -> dt.date:
        return ready_date(self.record, now=self.now)

    @property
    def is_late(self) -> bool:
        return self.job.promised_on is not None and self.ready_on > self.job.promised_on

    @property
    def days_blocked(self) -> int:
        on_stands = self.job.stands == Stands.ON_STANDS
        return blocked_since(self.record, now=self.now) if on_stands else 0

    @cached_property
    def against_release(self) -> list[Reason]:
        return reasons_against_release(self.record, now=self.now)

    @cached_property
    def authority_form(self) -> EntryForm | None:
        allowed = self.viewer.role in DESK_ROLES and not self.job.is_released
        return AuthorityForm(self.record, "authority") if allowed else None

    @property
    def sees_money(self) -> bool:
        return self.viewer.role in DESK_ROLES

    @cached_property
    def move_form(self) -> EntryForm | None:
        allowed = self.viewer.role in {Role.MANAGER, Role.LEAD} and not self.job.is_released
        return MoveForm(self.record, "move") if allowed else None

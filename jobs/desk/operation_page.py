"""One operation of one job as the desk shows it: every checkpoint, every result, the numbers behind each."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.urls import reverse

from jobs.bay.panels import Panel, build_panels
from jobs.bay.weld_page import WeldPage, weld_page
from jobs.changes import Change, changes_of
from jobs.desk.addition_forms import OperationAddForm, OperationRepeatForm
from jobs.desk.change_forms import DeviationForm, DeviationWithdrawForm, OmitForm, OmitTakeBackForm
from jobs.desk.forms import EntryForm, FinishForm, LoosenForm, PassHoldPointForm, ProblemForm, StartForm
from jobs.desk.panel import Against, Problem, acceptance_form, against, problems
from jobs.desk.readings import ReadingForm, WitnessForm
from jobs.desk.result_row import ResultRow
from jobs.desk.time_forms import BookedRow, booked_rows
from jobs.gates.conditions import reasons_against_finishing, reasons_against_starting, reasons_against_work
from jobs.judging.holes import HoleCard, holes_of
from jobs.judging.instruments import all_instruments
from jobs.judging.limits import reader_of
from jobs.kept_records import KEPT_RECORDS
from jobs.models import CheckpointKind, FoundWork, Job, OperationState, Override
from jobs.record import CheckpointStanding, JobRecord, OperationStanding
from jobs.recording.signing import WORKING_ROLES
from jobs.work_time import OperationWork, work_of
from shop.engineering.limits.shown import ReadAs
from shop.models import Person, Role, Skill

READING_FORMS: Mapping[str, type[ReadingForm]] = {
    CheckpointKind.WITNESS: WitnessForm,
    CheckpointKind.WELD: ReadingForm,
}


@dataclass(frozen=True)
class CheckpointRow:
    """One checkpoint as the desk shows it, with what the viewer may record there."""

    panel: Panel
    results: tuple[ResultRow, ...]
    reading: EntryForm | None
    accept: EntryForm | None
    loosen: EntryForm | None
    change: EntryForm | None = None
    job_number: int = 0

    @property
    def standing(self) -> CheckpointStanding:
        return self.panel.standing

    @property
    def is_hidden(self) -> bool:
        """A second person has still to read it: until then the first reading is shown to nobody."""
        return self.panel.is_hidden

    @property
    def tells_why(self) -> bool:
        """How far a witness's reading is from the first would give the first away while it is open."""
        return not self.panel.is_witness or self.standing.is_closed

    @property
    def first_reading(self) -> str:
        """The address of the reading that a witness reads again: often of an operation before this one."""
        code = self.panel.checkpoint.witness_of
        if not code:
            return ""
        return f"{reverse('jobs:job_operation', args=[self.job_number, code.split('.')[0]])}#{code}"

    @property
    def read_by(self) -> Person | None:
        return self.standing.current.person if self.standing.current else None


@dataclass(frozen=True)
class DeskOperation:
    """The page of one operation as `viewer` sees it."""

    record: JobRecord
    operation: OperationStanding
    viewer: Person
    now: dt.datetime
    panels: tuple[Panel, ...]

    @classmethod
    def load(cls, job: Job, code: str, *, viewer: Person, now: dt.datetime) -> "DeskOperation | None":
        record = KEPT_RECORDS.load(job)
        operation = record.find(code)
        if operation is None:
            return None
        panels = build_panels(
            record,
            operation.checkpoints,
            instruments=all_instruments(),
            typed=None,
            now=now,
            reader=reader_of(viewer),
        )
        return cls(record, operation, viewer, now, panels)

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def reader(self) -> ReadAs:
        """How the viewer reads figures."""
        return reader_of(self.viewer)

    @cached_property
    def holes(self) -> tuple[HoleCard, ...]:
        """How its holes are made with what the shop owns."""
        return holes_of(self.record, self.operation)

    @cached_property
    def welds(self) -> WeldPage | None:
        return weld_page(self.record, self.operation.code)

    @cached_property
    def rows(self) -> tuple[CheckpointRow, ...]:
        return tuple(self._row(panel) for panel in self.panels)

    def _row(self, panel: Panel) -> CheckpointRow:
        standing, open_job = panel.standing, not self.job.is_released
        results = tuple(ResultRow(r, r is standing.current, self.reader) for r in reversed(standing.results))
        return CheckpointRow(
            panel,
            results,
            self._reading_form(panel) if open_job else None,
            acceptance_form(self.record, self.operation, standing, viewer=self.viewer) if open_job else None,
            self._loosen_form(standing) if open_job else None,
            self._change_form(standing) if open_job else None,
            self.job.number,
        )

    def _reading_form(self, panel: Panel) -> EntryForm | None:
        """For somebody who may look at another's work: a witness, or whoever judges a weld."""
        form = READING_FORMS.get(panel.checkpoint.kind)
        if form is None or not self.operation.is_in_work or not panel.takes_reading:
            return None
        return form(panel, self.record, self.operation.code) if self._may_look(panel.checkpoint) else None

    def _may_look(self, checkpoint: Any) -> bool:
        if checkpoint.kind == CheckpointKind.WITNESS:
            first = self.record.find_checkpoint(checkpoint.witness_of)
            read = first.current if first else None
            return self.may_work and read is not None and read.person_id != self.viewer.pk
        made = self.record.welders(checkpoint.made_in)
        return self._is_inspector and self.viewer.pk not in made

    @cached_property
    def _is_inspector(self) -> bool:
        today = self.now.astimezone(self.record.zone).date()
        return self.viewer.is_certified(Skill.INSPECTION, on=today)

    def _change_form(self, standing: CheckpointStanding) -> EntryForm | None:
        """For a lead: a deviation before it is read, or the withdrawal of the one in force."""
        code, key = self.operation.code, standing.code.replace(".", "-")
        if not self.viewer.is_lead or self.operation.is_done:
            return None
        if standing.deviation is not None:
            number = {"p_deviation": standing.deviation.number}
            return DeviationWithdrawForm(self.record, code, key=key, initial=number)
        if standing.current is not None:
            return None
        initial = {"p_checkpoint": standing.code}
        return DeviationForm(
            self.record, code, key=key, initial=initial, second=standing.checkpoint.is_safety
        )

    def _loosen_form(self, standing: CheckpointStanding) -> EntryForm | None:
        tight = standing.checkpoint.is_joint and standing.current is not None
        if not tight or not self.may_work:
            return None
        key, initial = standing.code.replace(".", "-"), {"p_checkpoint": standing.code}
        return LoosenForm(self.record, self.operation.code, key=key, initial=initial)

    @property
    def may_work(self) -> bool:
        """By role; certificates the door looks at."""
        roles = set(WORKING_ROLES)
        if self.operation.operation.skill == Skill.SERVICE:
            roles.add(Role.SERVICE_WRITER)
        return self.viewer.role in roles

    @cached_property
    def against_starting(self) -> tuple[Against, ...]:
        if self.operation.state != OperationState.WAITING or self.job.is_released:
            return ()
        return self._against(reasons_against_starting(self.record, self.operation, now=self.now))

    @cached_property
    def against_work(self) -> tuple[Against, ...]:
        if not self.operation.is_in_work:
            return ()
        return self._against(reasons_against_work(self.record, self.operation, now=self.now))

    def _against(self, reasons: list[Any]) -> tuple[Against, ...]:
        return against(self.record, self.operation, reasons, viewer=self.viewer)

    @cached_property
    def against_finishing(self) -> tuple[Against, ...]:
        if not self.operation.is_in_work:
            return ()
        return against(
            self.record,
            self.operation,
            reasons_against_finishing(self.record, self.operation, now=self.now),
            viewer=self.viewer,
        )

    @property
    def start_form(self) -> EntryForm | None:
        waiting = self.operation.state == OperationState.WAITING and not self.job.is_released
        may = waiting and self.may_work and not self.against_starting
        return StartForm(self.record, self.operation.code) if may else None

    @property
    def finish_form(self) -> EntryForm | None:
        if not self.operation.is_in_work or self.against_finishing:
            return None
        if not self.operation.operation.is_hold_point:
            return FinishForm(self.record, self.operation.code) if self.may_work else None
        worked = self.viewer.pk in self.record.workers(self.operation.code)
        may = self.viewer.is_lead and not worked
        return PassHoldPointForm(self.record, self.operation.code) if may else None

    @cached_property
    def work(self) -> OperationWork:
        """Time, notes and lots."""
        return work_of(self.operation, now=self.now)

    @cached_property
    def booked(self) -> tuple[BookedRow, ...]:
        return booked_rows(self.record, self.operation, self.work, viewer=self.viewer)

    @property
    def found_works(self) -> tuple[FoundWork, ...]:
        return self.record.found_works_at(self.operation)

    @property
    def changes(self) -> tuple[Change, ...]:
        """What was changed at this operation for this car."""
        return tuple(change for change in changes_of(self.record) if change.operation == self.operation.code)

    @property
    def change_forms(self) -> tuple[EntryForm, ...]:
        """What a lead may change here: a deviation from the whole operation, whether it applies."""
        if not self.viewer.is_lead or self.job.is_released or self.operation.state == OperationState.FINISHED:
            return ()
        code, safety = self.operation.code, any(c.checkpoint.is_safety for c in self.operation.checkpoints)
        if self.operation.state == OperationState.NOT_APPLICABLE:
            return (OmitTakeBackForm(self.record, code),)
        forms: list[EntryForm] = [DeviationForm(self.record, code, second=safety)]
        if self.operation.state == OperationState.WAITING:
            forms.append(OmitForm(self.record, code, second=safety))
            forms.append(OperationAddForm(self.record, code))
            forms.append(OperationRepeatForm(self.record, code))
        return tuple(forms)

    @property
    def problem_form(self) -> EntryForm | None:
        return None if self.job.is_released else ProblemForm(self.record, self.operation.code)

    @cached_property
    def problems(self) -> tuple[Problem, ...]:
        here = self.operation.job_operation.pk
        rows = [n for n in self.record.nonconformances if n.job_operation_id == here]
        return problems(self.record, rows, viewer=self.viewer)

    @property
    def overrides(self) -> tuple[Override, ...]:
        here = self.operation.job_operation.pk
        return tuple(o for o in self.record.overrides if o.job_operation_id == here)

    @property
    def before(self) -> OperationStanding | None:
        earlier = self.record.earlier(self.operation)
        return earlier[-1] if earlier else None

    @property
    def after(self) -> OperationStanding | None:
        return next((o for o in self.record.operations if o.position > self.operation.position), None)

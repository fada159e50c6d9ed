"""An operation as the tablet in the bay shows it, all its checkpoints at once so that it can be kept."""

import datetime as dt
import hashlib
import uuid
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any
from uuid import UUID

from django.db.models import Q
from django.utils.translation import gettext as _

from jobs.assigning import assignments_of
from jobs.bay.kept_input import KeptInput
from jobs.bay.panels import Panel, Typed, build_panels
from jobs.bay.proposing import Proposal, propose
from jobs.bay.tablet_decisions import Decision, decisions_of
from jobs.gates.conditions import reasons_against_finishing, reasons_against_starting, reasons_against_work
from jobs.gates.hot_work import hot_work_cautions
from jobs.judging.holes import HoleCard, holes_of
from jobs.judging.instruments import all_instruments, all_tools
from jobs.judging.limits import reader_of
from jobs.judging.weld_map import welds_made_in
from jobs.kept_records import KEPT_RECORDS
from jobs.models import FoundWork, Job, Nonconformance, OperationState, ResultVerdict, WorkNote
from jobs.reasons import Reason
from jobs.record import JobRecord, OperationStanding
from jobs.recording.cautions import are_seen
from jobs.work_time import OperationWork, work_of
from shop.engineering.limits.shown import ReadAs
from shop.models import StreamHead, Turn


@dataclass(frozen=True)
class OperationPage:
    """The page of one operation of one car."""

    record: JobRecord
    operation: OperationStanding
    turn: Turn
    now: dt.datetime
    panels: tuple[Panel, ...]
    work: OperationWork
    at: str
    typed: Typed | None = None
    is_held: bool = False

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def code(self) -> str:
        return self.operation.code

    @property
    def saw(self) -> UUID | None:
        """The last entry on this operation that whoever looks at the page has seen."""
        return self.record.saw(self.operation.code)

    @property
    def entry_id(self) -> UUID:
        """An identity for an entry where no script makes one; each use is another."""
        return uuid.uuid4()

    @property
    def is_waiting(self) -> bool:
        return self.operation.state == OperationState.WAITING

    @property
    def is_in_work(self) -> bool:
        return self.operation.state == OperationState.IN_WORK

    @property
    def is_at_work(self) -> bool:
        """Whether the time of whoever has the turn runs here."""
        return self.work.time.is_at_work(self.turn.person)

    @property
    def told(self) -> tuple[WorkNote, ...]:
        """What the shift before has to say to whoever has the turn."""
        return self.work.told_to(self.turn.person)

    @property
    def found_works(self) -> tuple[FoundWork, ...]:
        """Extra work that was proposed here, with what became of it."""
        return self.record.found_works_at(self.operation)

    @property
    def kept(self) -> KeptInput | None:
        """What was typed and could not be recorded, to be carried along."""
        return KeptInput(self.job.number, self.code, self.typed) if self.typed else None

    @property
    def is_hold_point(self) -> bool:
        return self.operation.operation.is_hold_point

    @property
    def reader(self) -> ReadAs:
        """How whoever has the turn reads figures."""
        return reader_of(self.turn.person)

    @cached_property
    def holes(self) -> tuple[HoleCard, ...]:
        """How its holes are made with what the shop owns."""
        return holes_of(self.record, self.operation)

    @cached_property
    def against_starting(self) -> list[Reason]:
        return reasons_against_starting(self.record, self.operation, now=self.now)

    @cached_property
    def against_work(self) -> list[Reason]:
        """What stands against going on in an operation that is in work."""
        return reasons_against_work(self.record, self.operation, now=self.now) if self.is_in_work else []

    @cached_property
    def against_finishing(self) -> list[Reason]:
        return reasons_against_finishing(self.record, self.operation, now=self.now)

    @cached_property
    def decisions(self) -> tuple[Decision, ...]:
        """What a lead has to decide here, or to look at after rework."""
        return decisions_of(self.record, self.operation)

    @cached_property
    def proposed(self) -> Proposal:
        """What whoever has the turn would do next on this car, and why."""
        assigned = assignments_of([self.job]).get(self.job.pk, ())
        return propose(self.record, self.turn.person, assigned=assigned, now=self.now)

    @property
    def opens_at(self) -> str:
        """The section shown first: where something was just entered, else the first thing to be done."""
        if self.typed:
            return self.typed.code
        known = {self.code, *(p.code for p in self.panels), *(d.code for d in self.decisions)}
        if self.at in known:
            return self.at
        if self.is_waiting:
            return self.code
        return next((p.code for p in self.panels if p.takes_reading), "finish")

    @property
    def thresholds(self) -> dict[str, dict[str, Any]]:
        """The thresholds of each checkpoint with each instrument that may be used, as plain data."""
        return {
            panel.code: {
                choice.row.code: choice.thresholds.as_json()
                for pick in panel.instruments
                for choice in pick.usable
                if choice.thresholds is not None
            }
            for panel in self.panels
        }

    @property
    def deviations(self) -> dict[str, dict[str, Any]]:
        """Where a limit of this car alone holds: the deviation, its limit, what the procedure asks."""
        return {
            p.code: {
                "number": p.standing.deviation.number,
                "limit": p.standing.own_limit,
                "procedure": p.standing.procedure_limit,
            }
            for p in self.panels
            if p.standing.deviation is not None and p.standing.procedure_limit
        }

    @property
    def hot_work_cautions(self) -> tuple[str, ...]:
        """What goes for every piece of hot work."""
        return hot_work_cautions(self.operation, self.record.settings)

    @property
    def weld_count(self) -> int:
        """How many welds of the map are tacked or made here."""
        return len(welds_made_in(self.record, self.code))

    @property
    def where(self) -> str:
        return _("Job %(number)d") % {"number": self.job.number}

    @property
    def open_problems(self) -> tuple[Nonconformance, ...]:
        here = self.operation.job_operation.pk
        return tuple(n for n in self.record.open_nonconformances if n.job_operation_id == here)

    @property
    def bad_panels(self) -> tuple[Panel, ...]:
        return tuple(p for p in self.panels if p.result and p.result.verdict != ResultVerdict.CONFORMS)


def operation_page(
    job: Job, code: str, *, turn: Turn, now: dt.datetime, at: str = "", typed: Typed | None = None
) -> OperationPage | None:
    """The page of an operation; None where the job has none of that code."""
    record = KEPT_RECORDS.load(job)
    operation = record.find(code)
    if operation is None:
        return None
    panels = build_panels(
        record,
        operation.checkpoints,
        instruments=all_instruments(),
        typed=typed,
        now=now,
        tools=all_tools(),
        reader=reader_of(turn.person),
    )
    work = work_of(operation, now=now)
    page = OperationPage(record, operation, turn, now, panels, work, at, typed)
    return replace(page, is_held=True) if _is_held(page) else page


def _is_held(page: OperationPage) -> bool:
    """Whether the cautions are to be read in this turn before anything can be recorded."""
    operation = page.operation
    can_be_worked_on = page.is_in_work or (page.is_waiting and not page.against_starting)
    if not operation.operation.cautions or not can_be_worked_on:
        return False
    day = page.now.astimezone(page.record.zone).date()
    row, settings = operation.job_operation, page.record.settings
    return not are_seen(row, page.turn.person_id, page.turn, on=day, settings=settings)


def operation_etag(job: Job, code: str, *, turn: Turn, now: dt.datetime, at: str) -> str:
    """Changes with all that the page shows: the record of job, kit and instruments, the turn, the day.

    The minute is in it because a fire watch runs out without an entry.
    """
    heads = dict(
        StreamHead.objects.filter(
            Q(stream__in=[job.stream, job.kit_order.stream, "shop"]) | Q(stream__startswith="instrument/")
        ).values_list("stream", "hash")
    )
    reads = f"{turn.person.units} {turn.person.fractions}"
    parts = [code, at, str(turn.pk), reads, f"{now:%Y-%m-%d %H:%M}", *sorted(heads.values())]
    return f'"{hashlib.sha256("|".join(parts).encode()).hexdigest()[:32]}"'

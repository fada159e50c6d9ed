"""Typing in a sheet that was filled by hand: every torque and dimension that is open, as one form."""

import datetime as dt
import uuid
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from jobs.bay.panel_fields import PickInstrument
from jobs.bay.panels import Panel, Typed, build_panels
from jobs.judging.instruments import all_instruments
from jobs.models import Job, OperationState
from jobs.record import JobRecord, OperationStanding
from jobs.recording.paper import may_be_written
from jobs.recording.signing import WORKING_ROLES
from shop.models import Instrument, Person

# The time at which an operation was begun on paper, beside its readings.
START = "start"


@dataclass(frozen=True)
class Line:
    """A checkpoint of the sheet: its fields with what was typed, or what it came to."""

    panel: Panel
    time: str
    error: str
    said: str

    @property
    def code(self) -> str:
        return self.panel.code

    @property
    def picks(self) -> tuple[tuple[PickInstrument, str, str], ...]:
        """Each instrument to be named, with its field and what was typed: a sheet's own, never a guess."""
        values = self.panel.typed.values if self.panel.typed else {}
        named = ((pick, pick.name.removeprefix("p_")) for pick in self.panel.instruments)
        return tuple((pick, name, values.get(name, "")) for pick, name in named)

    @property
    def time_error(self) -> str:
        return self.panel.errors.get("entered_at", "")


@dataclass(frozen=True)
class Part:
    """The lines of one operation; one that waits may have been begun on paper as well."""

    operation: OperationStanding
    lines: tuple[Line, ...]
    saw: uuid.UUID | None
    start_time: str
    start_error: str

    @property
    def is_waiting(self) -> bool:
        return self.operation.state == OperationState.WAITING


@dataclass(frozen=True)
class SheetPosted:
    """What was typed, and what was said to it, by checkpoint."""

    person: str = ""
    day: str = ""
    values: Mapping[str, str] = field(default_factory=dict)
    errors: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    said: Mapping[str, str] = field(default_factory=dict)
    form_errors: Mapping[str, str] = field(default_factory=dict)

    def typed(self, code: str) -> Typed:
        """The fields of one checkpoint: `A10.1-value` is its value."""
        begin = f"{code}-"
        own = {n.removeprefix(begin): v for n, v in self.values.items() if n.startswith(begin)}
        return Typed(code, own, self.errors.get(code, {}))

    def time(self, code: str) -> str:
        return self.values.get(f"{code}-time", "")


@dataclass(frozen=True)
class TypingPage:
    """The page with the form."""

    record: JobRecord
    parts: tuple[Part, ...]
    people: tuple[Person, ...]
    posted: SheetPosted
    form_id: uuid.UUID

    @classmethod
    def load(cls, job: Job, posted: SheetPosted, *, now: dt.datetime) -> "TypingPage":
        record = JobRecord.load(job)
        return cls(
            record=record,
            parts=tuple(_parts(record, posted, now)),
            people=tuple(Person.objects.filter(is_active=True, role__in=WORKING_ROLES)),
            posted=posted,
            form_id=uuid.uuid4(),
        )

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def problems(self) -> list[tuple[str, str]]:
        """Field and message of everything that is wrong, for the summary at the top."""
        found = [(f"sheet-{name}", text) for name, text in self.posted.form_errors.items()]
        for code, errors in self.posted.errors.items():
            found += [
                (f"{code}-{name or 'time'}", _("%(code)s: %(what)s") % {"code": code, "what": text})
                for name, text in errors.items()
            ]
        return found


def _parts(record: JobRecord, posted: SheetPosted, now: dt.datetime) -> Iterator[Part]:
    instruments = all_instruments()
    for operation in record.operations:
        if operation.state == OperationState.NOT_APPLICABLE:
            continue
        lines = tuple(_lines(record, operation, posted, instruments, now))
        if lines:
            start = posted.errors.get(f"{START}-{operation.code}", {})
            yield Part(
                operation,
                lines,
                record.saw(operation.code),
                posted.time(f"{START}-{operation.code}"),
                next(iter(start.values()), ""),
            )


def _lines(
    record: JobRecord,
    operation: OperationStanding,
    posted: SheetPosted,
    instruments: Sequence[Instrument],
    now: dt.datetime,
) -> Iterator[Line]:
    for standing in operation.checkpoints:
        said = posted.said.get(standing.code, "")
        if not may_be_written(standing.checkpoint) or (standing.is_closed and not said):
            continue
        typed = posted.typed(standing.code)
        (panel,) = build_panels(record, [standing], instruments=instruments, typed=typed, now=now)
        yield Line(panel, posted.time(standing.code), typed.errors.get("", ""), said)

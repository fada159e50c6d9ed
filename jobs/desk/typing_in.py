"""What was typed from a sheet, recorded line by line through the one door; each line for itself.

A line that cannot be recorded keeps what was typed and says why; the others are recorded all the same, as
each would have been at a tablet.
"""

import datetime as dt
import re
import uuid
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.desk.typing_page import START, SheetPosted
from jobs.models import Job, OperationState
from jobs.record import JobRecord
from jobs.recording import FloorEntry, record_entry
from jobs.recording.paper import TYPED_BY, may_be_written
from jobs.recording.signing import WORKING_ROLES
from shop.entries import Answer
from shop.models import Outcome, Person, ShopSettings, SignedHow

TIME = re.compile(r"([01]?[0-9]|2[0-3])[:.]?([0-5][0-9])")
READINGS = ("value", "left", "right", "angle")
MARKS = ("clicked", "lubricant", "new_hardware")
FIELDS = (*READINGS, *MARKS, "instrument", "angle_instrument", "reason")


@dataclass(frozen=True)
class WrittenLine:
    """One line of the sheet, or the beginning of an operation."""

    key: str
    subject: str
    kind: str
    payload: dict[str, Any]
    time: str


def take_sheet(
    job: Job, values: Mapping[str, str], *, typist: Person, now: dt.datetime
) -> tuple[SheetPosted, int]:
    """Record every line that has anything in it; what was said to each, and how many were recorded."""
    settings = ShopSettings.current()
    signer = _signer(values.get("person", ""))
    day = _day(values.get("day", ""), settings.day_at(now))
    lines = list(_written(JobRecord.load(job), values))
    wrong = _form_errors(signer, day, lines)
    if wrong or signer is None or day is None:
        return _kept(values, form_errors=wrong), 0
    recorder = _Recorder(job, signer, typist, ZoneInfo(settings.zone), day, now, values)
    for line in lines:
        recorder.record(line)
    return (
        _kept(values, errors=recorder.errors, said=recorder.said, recorded=recorder.recorded),
        len(recorder.recorded),
    )


class _Recorder:
    """Takes the lines in the order of their times; an operation's next entry has seen the one before."""

    def __init__(
        self,
        job: Job,
        signer: Person,
        typist: Person,
        zone: ZoneInfo,
        day: dt.date,
        now: dt.datetime,
        values: Mapping[str, str],
    ) -> None:
        self.job, self.signer, self.typist = job, signer, typist
        self.zone, self.day, self.now, self.values = zone, day, now, values
        self.saw: dict[str, uuid.UUID | None] = {}
        self.errors: dict[str, dict[str, str]] = {}
        self.said: dict[str, str] = {}
        self.recorded: list[str] = []

    def record(self, line: WrittenLine) -> None:
        at = _moment(line.time, self.day, self.zone)
        if at is None:
            self.errors[line.key] = {"entered_at": _("Write the time as on the sheet, like 14:05")}
            return
        sent = FloorEntry(
            id=uuid.uuid5(_key(self.values.get("form_id", "")) or uuid.uuid4(), line.key),
            job_number=self.job.number,
            subject=line.subject,
            kind=line.kind,
            signer=self.signer,
            signed_how=SignedHow.PAPER,
            saw=self.saw.get(line.subject, _key(self.values.get(f"saw-{line.subject}", ""))),
            payload={**line.payload, TYPED_BY: self.typist.pk},
            entered_at=at,
        )
        try:
            answer = record_entry(sent, now=self.now)
        except BadInput as bad:
            self.errors[line.key] = dict(bad.errors)
            return
        self._told(line, sent, answer)

    def _told(self, line: WrittenLine, sent: FloorEntry, answer: Answer) -> None:
        if answer.accepted:
            self.saw[line.subject] = sent.id
            self.recorded.append(line.key)
            self.said[line.key] = str(answer.data.get("explanation") or _("Recorded"))
        elif answer.outcome == Outcome.REFUSED:
            self.errors[line.key] = {"": _reasons(answer.data)}
        else:
            message = _("Something was recorded at %(code)s in the meantime. Look, then send again")
            self.errors[line.key] = {"": message % {"code": line.subject}}


def _reasons(data: Mapping[str, Any]) -> str:
    told = [str(reason.get("text", "")) for reason in data.get("reasons", ())]
    return ". ".join([str(data.get("message", "")), *filter(None, told)])


def _written(record: JobRecord, values: Mapping[str, str]) -> Iterator[WrittenLine]:
    """The lines that were filled in, the earliest first within their operation, its beginning before all."""
    for operation in record.operations:
        begun = f"{START}-{operation.code}"
        time = values.get(f"{begun}-time", "").strip()
        if time and operation.state == OperationState.WAITING:
            yield WrittenLine(begun, operation.code, START, {}, time)
        found = []
        for standing in operation.checkpoints:
            typed = {name: values.get(f"{standing.code}-{name}", "").strip() for name in FIELDS}
            filled = any(typed[name] for name in (*READINGS, *MARKS))
            if filled and may_be_written(standing.checkpoint):
                payload = {"checkpoint": standing.code, **{n: t for n, t in typed.items() if t}}
                time = values.get(f"{standing.code}-time", "").strip()
                found.append(WrittenLine(standing.code, operation.code, "reading", payload, time))
        yield from sorted(found, key=lambda line: line.time.zfill(5))


def _form_errors(signer: Person | None, day: dt.date | None, lines: list[WrittenLine]) -> dict[str, str]:
    wrong = {}
    if signer is None:
        wrong["person"] = _("Say who signed the sheet")
    if day is None:
        wrong["day"] = _("Write the day of the sheet, today or before, like 2026-03-31")
    if not lines:
        wrong["lines"] = _("Type in at least one line of the sheet")
    return wrong


def _kept(
    values: Mapping[str, str],
    *,
    errors: Mapping[str, Mapping[str, str]] | None = None,
    said: Mapping[str, str] | None = None,
    recorded: list[str] | None = None,
    form_errors: Mapping[str, str] | None = None,
) -> SheetPosted:
    """What was typed and is still to be recorded, with what was said."""
    done = tuple(f"{key}-" for key in recorded or ())
    left = {name: text for name, text in values.items() if not (done and name.startswith(done))}
    return SheetPosted(
        person=values.get("person", ""),
        day=values.get("day", ""),
        values=left,
        errors=errors or {},
        said=said or {},
        form_errors=form_errors or {},
    )


def _signer(username: str) -> Person | None:
    return Person.objects.filter(username=username, is_active=True, role__in=WORKING_ROLES).first()


def _day(text: str, today: dt.date) -> dt.date | None:
    try:
        found = dt.date.fromisoformat(text.strip())
    except ValueError:
        return None
    return found if found <= today else None


def _moment(text: str, day: dt.date, zone: ZoneInfo) -> dt.datetime | None:
    match = TIME.fullmatch(text)
    return dt.datetime.combine(day, dt.time(int(match[1]), int(match[2])), zone) if match else None


def _key(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None

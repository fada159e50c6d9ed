"""The handover papers: what was done to a car, measured, decided and signed, and what comes after.

Read from the record once. As long as the car is not released every page says so.
"""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from django.core.files.storage import default_storage
from django.utils.translation import gettext as _

from jobs.changes import Change, changes_of
from jobs.condition import Condition, condition_of
from jobs.fetching import entries_of
from jobs.gates.conditions import reasons_against_release
from jobs.models import Job, Photo
from jobs.papers.about_job import job_of, record_mark
from jobs.papers.judged_by import rules_of
from jobs.papers.record_lines import RecordLines
from jobs.papers.signatures import Signatures, signatures_of
from jobs.papers.weld_record import WeldRecord
from jobs.reasons import Reason
from jobs.record import JobRecord
from shop.documents.kinds import Paper
from shop.documents.models import Document
from shop.engineering.decision.rules import SIMPLE_ACCEPTANCE
from shop.models import Calibration, Instrument

MOST_PHOTOS = 60
LINES_ON_A_PAGE = 18
PHOTOS_ON_A_PAGE = 6
MOST_SHOWN_REASONS = 6


@dataclass(frozen=True)
class UsedInstrument:
    """What was measured with, and the calibration that held when it last was."""

    row: Instrument
    calibration: Calibration | None


@dataclass(frozen=True)
class Handover:
    """Everything that the handover papers say."""

    document: Document
    record: JobRecord
    lines: RecordLines
    welds: WeldRecord
    changes: tuple[Change, ...]
    people: tuple[Signatures, ...]
    instruments: tuple[UsedInstrument, ...]
    came_in: Condition
    photos: tuple[Photo, ...]
    lost: tuple[Photo, ...]
    against: tuple[Reason, ...]

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def is_draft(self) -> bool:
        return not self.job.is_released

    @property
    def record_mark(self) -> str:
        return record_mark(self.document)

    @property
    def rules(self) -> str:
        """By which rules the readings were judged, when they were."""
        return "; ".join(rules_of(self.record))

    @property
    def is_simple(self) -> bool:
        """Whether a reading was taken as it is, whatever its instrument does not know."""
        return SIMPLE_ACCEPTANCE.name in rules_of(self.record)

    @property
    def done(self) -> int:
        return sum(o.is_done for o in self.record.operations)

    @property
    def come_back(self) -> list[dict[str, str]]:
        found: list[dict[str, str]] = self.job.procedure_revision.handover.get("come_back", [])
        return found

    @property
    def cautions(self) -> list[dict[str, str]]:
        """What the procedure tells whoever drives the car; else what it says at the release."""
        told: list[dict[str, str]] = self.job.procedure_revision.handover.get("cautions", [])
        return told or [
            caution
            for o in self.record.operations
            if o.operation.stage == "release"
            for caution in o.operation.cautions
        ]

    @property
    def shown_against(self) -> tuple[Reason, ...]:
        return self.against[:MOST_SHOWN_REASONS]

    @property
    def more_against(self) -> int:
        return len(self.against) - len(self.shown_against)


def build_handover(document: Document) -> Paper:
    """Read the record of a job for its handover papers."""
    job = job_of(document)
    record = JobRecord.load(job)
    photos = list(job.photos.select_related("taken_by").order_by("taken_at")[:MOST_PHOTOS])
    here = [photo for photo in photos if photo.file_is_whole()]
    handover = Handover(
        document=document,
        record=record,
        lines=RecordLines.of(record),
        welds=WeldRecord.of(record),
        changes=changes_of(record),
        people=signatures_of(record, entries_of([job.stream]).get(job.stream, ())),
        instruments=tuple(_instruments(record)),
        came_in=condition_of(job),
        photos=tuple(here),
        lost=tuple(photo for photo in photos if photo not in here),
        against=tuple(reasons_against_release(record, now=document.asked_at)) if not job.is_released else (),
    )
    return Paper(
        template="print/handover.html",
        context={"handover": handover, "job": job},
        title=_("Handover papers, job %(number)s") % {"number": job.number},
        pages=3
        + (len(handover.lines.lines) + len(handover.welds.lines)) // LINES_ON_A_PAGE
        + len(here) // PHOTOS_ON_A_PAGE,
        photos={f"{photo.pk}.jpg": Path(default_storage.path(str(photo.image.name))) for photo in here},
    )


def _instruments(record: JobRecord) -> Iterable[UsedInstrument]:
    """Every instrument that a result in force was taken with."""
    last_used: dict[int, dt.date] = {}
    for standing in record.checkpoints:
        result = standing.current
        for key in (result.instrument_id, result.angle_instrument_id) if result else ():
            if key is not None and result is not None:
                day = result.recorded_at.astimezone(record.zone).date()
                last_used[key] = max(last_used.get(key, day), day)
    rows = Instrument.objects.filter(pk__in=last_used).prefetch_related("calibrations").order_by("code")
    for row in rows:
        yield UsedInstrument(row, row.calibration(on=last_used[row.pk]))

"""Sheets to fill by hand when the tablets are down: every joint or dimension that is not closed yet.

What is written on them is typed in at a desk later. A second person's own reading, hold points, release and
gates set aside are never taken from paper, so they are not on a sheet.
"""

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.models import CheckpointKind, Job, Operation, OperationState
from jobs.papers.about_job import job_of, record_mark
from jobs.papers.checkpoint_row import CheckpointRow, row_of
from jobs.record import JobRecord
from jobs.recording.paper import DIMENSIONS, TORQUES
from shop.documents.kinds import Paper
from shop.documents.models import Document

ROWS_ON_A_PAGE = 12


@dataclass(frozen=True)
class SheetOperation:
    """The rows of one operation."""

    operation: Operation
    rows: tuple[CheckpointRow, ...]


@dataclass(frozen=True)
class Sheet:
    """Everything that a sheet says."""

    document: Document
    record: JobRecord
    name: str | Promise
    operations: tuple[SheetOperation, ...]

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def record_mark(self) -> str:
        return record_mark(self.document)

    @property
    def row_count(self) -> int:
        return sum(len(o.rows) for o in self.operations)


def sheet_builder(name: str | Promise, kinds: frozenset[CheckpointKind]) -> Callable[[Document], Paper]:
    """What makes the sheet of these kinds of checkpoint."""

    def build(document: Document) -> Paper:
        record = JobRecord.load(job_of(document))
        sheet = Sheet(document, record, name, tuple(_operations(record, kinds)))
        return Paper(
            template="print/blank_sheet.html",
            context={"sheet_of": sheet, "job": record.job},
            title=_("%(sheet)s, job %(number)s") % {"sheet": name, "number": record.job.number},
            pages=1 + sheet.row_count // ROWS_ON_A_PAGE,
        )

    return build


def _operations(record: JobRecord, kinds: frozenset[CheckpointKind]) -> list[SheetOperation]:
    found = []
    for operation in record.operations:
        wanted = [c for c in operation.checkpoints if c.checkpoint.kind in kinds and not c.is_closed]
        if wanted and operation.state != OperationState.NOT_APPLICABLE:
            rows = tuple(row_of(record, standing) for standing in wanted)
            found.append(SheetOperation(operation.operation, rows))
    return found


build_torque_sheet = sheet_builder(gettext_lazy("Torque sheet"), TORQUES)
build_dimension_sheet = sheet_builder(gettext_lazy("Dimension sheet"), DIMENSIONS)

"""The results of a job as its papers list them: one line a checkpoint, sorted by what they are."""

from collections.abc import Iterator
from dataclasses import dataclass

from jobs.models import CheckpointKind, OperationState, Stage
from jobs.papers.checkpoint_row import CheckpointRow, row_of
from jobs.record import CheckpointStanding, JobRecord

MEASURED = frozenset({CheckpointKind.DIMENSION, CheckpointKind.PAIR, CheckpointKind.POSITION})


@dataclass(frozen=True)
class RecordLine:
    """A checkpoint with its limit and its result."""

    standing: CheckpointStanding
    row: CheckpointRow

    @property
    def typed_in(self) -> str:
        """Who typed it in from a sheet that was filled by hand; empty where nobody did."""
        return self.standing.current.typed_in if self.standing.current else ""

    @property
    def code(self) -> str:
        return self.standing.code

    @property
    def readings(self) -> tuple[str, ...]:
        """What was read, each figure by itself."""
        return tuple(self.row.printed.reading.split(", ")) if self.row.printed else ()

    @property
    def is_open(self) -> bool:
        return not self.standing.is_closed

    @property
    def earlier(self) -> int:
        """How many results of it hold no more."""
        return len(self.standing.results) - (1 if self.standing.current else 0)

    @property
    def again(self) -> str:
        """Why it was read again, where it was."""
        current = self.standing.current
        return current.reason if current and self.earlier else ""


@dataclass(frozen=True)
class RecordLines:
    """All lines of a job, apart by what they prove."""

    lines: tuple[RecordLine, ...]

    @classmethod
    def of(cls, record: JobRecord) -> "RecordLines":
        return cls(tuple(_lines(record)))

    @property
    def torques(self) -> tuple[RecordLine, ...]:
        return tuple(line for line in self.lines if line.row.checkpoint.is_joint)

    @property
    def alignment(self) -> tuple[RecordLine, ...]:
        return tuple(line for line in self._measured if _stage(line) == Stage.ALIGNMENT)

    @property
    def dimensions(self) -> tuple[RecordLine, ...]:
        return tuple(line for line in self._measured if _stage(line) != Stage.ALIGNMENT)

    @property
    def welds(self) -> tuple[RecordLine, ...]:
        return tuple(line for line in self.lines if line.row.checkpoint.kind == CheckpointKind.WELD)

    @property
    def others(self) -> tuple[RecordLine, ...]:
        """Counts, fits and photos."""
        apart = {id(line) for line in (*self.torques, *self._measured, *self.welds)}
        return tuple(line for line in self.lines if id(line) not in apart)

    @property
    def open_count(self) -> int:
        return sum(line.is_open for line in self.lines)

    @property
    def accepted(self) -> tuple[RecordLine, ...]:
        return tuple(line for line in self.lines if line.row.printed and line.row.printed.remark)

    @property
    def has_typed_in(self) -> bool:
        return any(line.typed_in for line in self.lines)

    @property
    def _measured(self) -> tuple[RecordLine, ...]:
        kinds = MEASURED | {CheckpointKind.WITNESS}
        return tuple(line for line in self.lines if line.row.checkpoint.kind in kinds)


def _stage(line: RecordLine) -> str:
    return line.standing.job_operation.operation.stage


def _lines(record: JobRecord) -> Iterator[RecordLine]:
    for operation in record.operations:
        if operation.state != OperationState.NOT_APPLICABLE:
            for standing in operation.checkpoints:
                yield RecordLine(standing, row_of(record, standing))

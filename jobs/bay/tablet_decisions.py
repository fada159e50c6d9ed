"""What a lead decides at the tablet about an operation: its open nonconformances, one section each."""

from dataclasses import dataclass

from jobs.models import Disposition, Nonconformance
from jobs.record import JobRecord, OperationStanding
from parts.standing import LineStanding


@dataclass(frozen=True)
class Decision:
    """One open nonconformance as the tablet shows it."""

    row: Nonconformance
    needs_second: bool
    parts: tuple[LineStanding, ...]

    @property
    def code(self) -> str:
        """The section's own address on the page."""
        return section_of(str(self.row.number))

    @property
    def is_undecided(self) -> bool:
        return not self.row.disposition

    @property
    def waits_for_reading(self) -> bool:
        return not self.is_undecided and self.row.checkpoint is not None

    @property
    def choices(self) -> list[tuple[str, str]]:
        return [(each.value, str(each.label)) for each in Disposition]


def section_of(number: str) -> str:
    return f"nonconformance-{number[:9]}"


def decisions_of(record: JobRecord, operation: OperationStanding) -> tuple[Decision, ...]:
    """The nonconformances that are open at an operation. No queries."""
    here = [n for n in record.open_nonconformances if n.job_operation_id == operation.job_operation.pk]
    every_safety = any(c.checkpoint.is_safety for c in operation.checkpoints)
    parts = tuple(line for line in record.kit.lines if line.here)
    return tuple(Decision(n, n.checkpoint.is_safety if n.checkpoint else every_safety, parts) for n in here)

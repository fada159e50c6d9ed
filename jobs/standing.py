"""Where a checkpoint and an operation of one job stand. Rows already loaded, judged without a query."""

from dataclasses import dataclass
from enum import StrEnum

from jobs.models import (
    Addition,
    Checkpoint,
    Deviation,
    Job,
    JobOperation,
    Operation,
    OperationState,
    Result,
    ResultVerdict,
)


class CheckState(StrEnum):
    """Where a checkpoint of a job stands."""

    OPEN = "open"
    REOPENED = "reopened"
    CONFORMS = "conforms"
    ACCEPTED = "accepted"
    TOO_CLOSE = "too_close"
    DOES_NOT_CONFORM = "does_not_conform"


CLOSED = frozenset({CheckState.CONFORMS, CheckState.ACCEPTED})
STATE_OF_VERDICT = {
    ResultVerdict.CONFORMS: CheckState.CONFORMS,
    ResultVerdict.TOO_CLOSE: CheckState.TOO_CLOSE,
    ResultVerdict.DOES_NOT_CONFORM: CheckState.DOES_NOT_CONFORM,
}


def shown_verdict(state: str, result: Result | None) -> str:
    """How a state is shown: of what is recorded only, nobody says that it conforms."""
    only_recorded = result is not None and not result.is_judged
    return "recorded" if state == CheckState.CONFORMS and only_recorded else state


@dataclass(frozen=True)
class CheckpointStanding:
    """A checkpoint of one job with all its results, the oldest first."""

    checkpoint: Checkpoint
    job_operation: JobOperation
    results: tuple[Result, ...]
    deviation: Deviation | None = None

    @property
    def procedure_limit(self) -> str:
        """What the procedure asks where a deviation asks something else for this car; else empty."""
        if self.deviation is None or not (self.deviation.limit or self.deviation.equal):
            return ""
        asked = getattr(self.checkpoint, "procedure_limits", ("", ""))
        return "; ".join(text for text in asked if text)

    @property
    def own_limit(self) -> str:
        """What a deviation asks of this car in place of the procedure's limit; else empty."""
        found = (self.deviation.limit, self.deviation.equal) if self.deviation else ()
        return "; ".join(text for text in found if text)

    @property
    def code(self) -> str:
        return self.checkpoint.code

    @property
    def last(self) -> Result | None:
        return self.results[-1] if self.results else None

    @property
    def current(self) -> Result | None:
        """The result in force: the newest, unless it was opened again."""
        last = self.last
        return None if last is None or hasattr(last, "reopening") else last

    @property
    def state(self) -> CheckState:
        if self.last is None:
            return CheckState.OPEN
        if self.current is None:
            return CheckState.REOPENED
        if hasattr(self.current, "acceptance"):
            return CheckState.ACCEPTED
        return STATE_OF_VERDICT[ResultVerdict(self.current.verdict)]

    @property
    def is_closed(self) -> bool:
        return self.state in CLOSED

    def proves(self, what: str) -> bool:
        return what in self.checkpoint.proves


@dataclass(frozen=True)
class OperationStanding:
    """An operation of one job with its checkpoints."""

    job_operation: JobOperation
    operation: Operation
    checkpoints: tuple[CheckpointStanding, ...]

    @property
    def code(self) -> str:
        return self.operation.code

    @property
    def position(self) -> int:
        return self.job_operation.position

    @property
    def state(self) -> str:
        return self.job_operation.state

    @property
    def after(self) -> tuple[str, ...]:
        """What must be done before it: by its procedure, and by what was added for this car."""
        return (*self.operation.after, *self.job_operation.also_after)

    @property
    def is_added(self) -> bool:
        """Whether it stands in no procedure: a lead added it for this car."""
        return self.addition is not None

    @property
    def addition(self) -> Addition | None:
        return getattr(self.job_operation, "addition", None)

    @property
    def repeats(self) -> str:
        """The operation that is done here once more; empty where it is none."""
        original = self.addition.copy_of if self.addition else None
        return original.code if original else ""

    def other_revision(self, job: Job) -> str:
        """The revision by which it is done where that is not the job's own; empty for what was added."""
        if self.is_added or self.operation.revision_id == job.procedure_revision_id:
            return ""
        return self.operation.revision.revision

    @property
    def is_done(self) -> bool:
        return self.state in {OperationState.FINISHED, OperationState.NOT_APPLICABLE}

    @property
    def is_in_work(self) -> bool:
        return self.state == OperationState.IN_WORK

    @property
    def open_checkpoints(self) -> tuple[CheckpointStanding, ...]:
        if self.state == OperationState.NOT_APPLICABLE:
            return ()
        return tuple(c for c in self.checkpoints if not c.is_closed)

    @property
    def closed_count(self) -> int:
        return len(self.checkpoints) - len(self.open_checkpoints)

    def does(self, flag: str) -> bool:
        return self.operation.does(flag)

    def find(self, code: str) -> CheckpointStanding | None:
        return next((c for c in self.checkpoints if c.code == code), None)

"""The welds of a car on paper: each with who made it, with what, who looked at it and what came of it."""

from dataclasses import dataclass

from jobs.bay.weld_page import WeldStanding, every_weld
from jobs.judging.weld_picture import DrawnView, drawn_views
from jobs.models import Result, WeldMade, WeldStep
from jobs.record import CheckpointStanding, JobRecord


@dataclass(frozen=True)
class WeldLine:
    """One weld with its history. `checkpoint`: at which it is looked at, with its criteria."""

    standing: WeldStanding
    checkpoint: CheckpointStanding | None

    @property
    def tack(self) -> WeldMade | None:
        return self._last(WeldStep.TACK)

    @property
    def made(self) -> WeldMade | None:
        return self._last(WeldStep.WELD)

    @property
    def repairs(self) -> tuple[WeldMade, ...]:
        return tuple(row for row in self.standing.made if row.step == WeldStep.REPAIR)

    @property
    def judged(self) -> Result | None:
        """The newest judgement, where it is of the weld as it is now."""
        return self.checkpoint.last if self.checkpoint and self.standing.inspector else None

    @property
    def is_left(self) -> bool:
        """Whether something is still to be done to it: made, looked at, or repaired."""
        return self.standing.state != "accepted"

    def _last(self, step: str) -> WeldMade | None:
        return next((row for row in reversed(self.standing.made) if row.step == step), None)


@dataclass(frozen=True)
class WeldRecord:
    """The welds of a car, or of one operation of it."""

    lines: tuple[WeldLine, ...]

    @classmethod
    def of(cls, record: JobRecord) -> "WeldRecord":
        """All welds of the map. One query, none where the procedure has no map."""
        return cls(
            tuple(WeldLine(w, record.find_checkpoint(w.weld.inspected_at)) for w in every_weld(record))
        )

    def made_in(self, operation: str) -> "WeldRecord | None":
        """Those that are tacked or made in an operation; None where there are none."""
        here = tuple(
            x for x in self.lines if operation in {x.standing.weld.made_in, x.standing.weld.tacked_in}
        )
        return WeldRecord(here) if here else None

    @property
    def views(self) -> tuple[DrawnView[WeldStanding], ...]:
        return drawn_views(tuple(line.standing for line in self.lines))

    @property
    def left(self) -> tuple[WeldLine, ...]:
        return tuple(line for line in self.lines if line.is_left)

    @property
    def accepted(self) -> int:
        return len(self.lines) - len(self.left)

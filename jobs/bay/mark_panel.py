"""A mark on the tablet: its drawing, what is read of it, then what each reading should have been."""

from collections.abc import Sequence
from dataclasses import dataclass

from jobs.bay.panel_fields import ReadingField, Typed
from jobs.judging.layout_picture import LayoutPicture, Shown, draw_layout
from jobs.judging.layouts import Layout
from jobs.judging.limits import LimitWords
from jobs.judging.mark_case import MarkCase, case_of
from jobs.judging.marks import should_and_read
from jobs.models import Checkpoint, CheckpointKind, Result
from jobs.record import CheckpointStanding, CheckState, JobRecord


@dataclass(frozen=True)
class MarkPanel:
    """What a panel shows of a mark beside what every panel shows."""

    case: MarkCase
    picture: LayoutPicture
    rows: tuple[tuple[str, str, str], ...]

    @property
    def words(self) -> LimitWords:
        """What it is laid out by with its tolerance, and what is drilled; two are in the drawing."""
        mark = self.case.mark
        first = self.case.asked[0]
        text = mark.tolerance_text
        if len(mark.laid_out_from) == 1:
            text = f"{self.case.nominal(first).removesuffix(f' {self.case.unit}')} {mark.tolerance_text}"
        also = ", ".join(part for part in (mark.size_text, mark.tool, mark.through) if part)
        return LimitWords(text, also, "")

    @property
    def label(self) -> str:
        mark = self.case.mark
        return f"{mark.code} {mark.kind_words}: {mark.name}"

    @property
    def useless(self) -> tuple[str, ...]:
        return self.case.useless

    @property
    def bears_one_slip(self) -> bool:
        return self.case.plan.bears_one_slip

    def readings(self, typed: Typed) -> tuple[ReadingField, ...]:
        """The fields, numbered as in the drawing: first those that lay it out, then the cross-checks."""
        return tuple(
            ReadingField(
                name=f"p_{each.name}",
                label=f"{n}. {each.label}",
                unit=self.case.unit,
                kind="inch" if self.case.unit == "in" else "decimal",
                value=typed.values.get(each.name, ""),
                error=typed.errors.get(each.name, ""),
                id=f"{typed.code}-{each.name}",
            )
            for n, each in enumerate(self.case.asked, start=1)
        )


def layout_of(record: JobRecord, checkpoints: Sequence[Checkpoint]) -> Layout:
    """The layout of a job, asked for only where one of its checkpoints is about a mark."""
    if any(checkpoint.kind == CheckpointKind.MARK for checkpoint in checkpoints):
        return Layout.of(record.job.procedure_revision.layout)
    return Layout()


def mark_panel(
    record: JobRecord, layout: Layout, checkpoint: Checkpoint, result: Result | None
) -> MarkPanel | None:
    """The mark that a checkpoint, or the one that its witness reads again, is about.

    Args:
        result: the one that may be shown; None hides what was read.
    """
    case = case_of(layout, checkpoint)
    if case is None:
        return None
    picture = draw_layout(
        case.view,
        in_hand=case.mark.code,
        checks=case.plan.checks,
        shown=_shown(record, checkpoint.side),
        mirrored=case.is_mirrored,
    )
    return MarkPanel(case, picture, tuple(should_and_read(result)) if result else ())


def _shown(record: JobRecord, side: str) -> dict[str, Shown]:
    """How the marks of one side stand, as far as it may be told."""
    found = {}
    for standing in record.checkpoints:
        if standing.checkpoint.kind == CheckpointKind.MARK and standing.checkpoint.side == side:
            found[standing.checkpoint.mark] = _state(record, standing)
    return found


def _state(record: JobRecord, standing: CheckpointStanding) -> Shown:
    if standing.state == CheckState.DOES_NOT_CONFORM:
        return Shown.WRONG
    checked = standing.is_closed and not record.awaits_witness(standing)
    return Shown.CHECKED if checked else Shown.OPEN

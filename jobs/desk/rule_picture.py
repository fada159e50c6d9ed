"""A job's progress as a steel rule: its stages are the inches, its operations the lines. Pure data for SVG.

An operation is the stretch up to its line; finishing it reaches the line. A hold point's line goes all
the way down: nobody passes it alone. What is done is hatched, as cut metal is on a section drawing.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum


class Mark(StrEnum):
    """How an operation stands, as the rule shows it."""

    DONE = "done"
    IN_WORK = "in_work"
    WAITING = "waiting"
    BLOCKED = "blocked"
    NOT_APPLICABLE = "not_applicable"
    NONCONFORMANCE = "nonconformance"


@dataclass(frozen=True)
class OperationMark:
    """One operation of the job: its code, its title and how it stands."""

    code: str
    title: str
    mark: Mark
    hold_point: bool = False
    url: str = ""


@dataclass(frozen=True)
class StageMarks:
    """One stage with its operations in order; a stage may be empty."""

    label: str
    operations: Sequence[OperationMark] = ()


@dataclass(frozen=True)
class Size:
    """Measures of a drawing in its own units, which are CSS pixels at full width."""

    width: float
    height: float
    body_top: float
    body_bottom: float
    name_at: float
    letter: float
    hatch_step: float
    symbol: float
    type_size: float = 18


# In a row of a list, 40 px high; on a page; and on a tablet held upright, where letters stay readable.
SMALL = Size(
    width=560,
    height=40,
    body_top=9,
    body_bottom=26,
    name_at=37.5,
    letter=6.1,
    hatch_step=4,
    symbol=5,
    type_size=11.5,
)
LARGE = Size(
    width=1200, height=126, body_top=26, body_bottom=86, name_at=112, letter=10, hatch_step=8, symbol=12
)
NARROW = Size(
    width=768, height=126, body_top=26, body_bottom=86, name_at=112, letter=9.2, hatch_step=8, symbol=11
)
MARGIN = 2.0


@dataclass(frozen=True)
class Cell:
    """The stretch of one operation and what is drawn in it."""

    operation: OperationMark
    start: float
    end: float
    tick_to: float
    size: Size

    @property
    def middle(self) -> float:
        return round((self.start + self.end) / 2, 2)

    @property
    def width(self) -> float:
        return round(self.end - self.start, 2)

    @property
    def gate(self) -> str:
        """A bar across the way with its back to what is done: this cannot start."""
        x, top, bottom, s = self.middle, self.size.body_top, self.size.body_bottom, self.size.symbol * 0.45
        return f"M{x - s:.2f} {top}H{x + s:.2f}V{bottom}H{x - s:.2f}Z"

    @property
    def cross(self) -> str:
        """Struck out: something here does not conform."""
        x, y, s = self.middle, (self.size.body_top + self.size.body_bottom) / 2, self.size.symbol
        left, right, top, bottom = x - s, x + s, y - s, y + s
        return f"M{left:.2f} {top:.2f}L{right:.2f} {bottom:.2f}M{right:.2f} {top:.2f}L{left:.2f} {bottom:.2f}"

    @property
    def skip(self) -> str:
        """A line through the middle: not applicable on this car."""
        y = (self.size.body_top + self.size.body_bottom) / 2
        return f"M{self.start:.2f} {y:.2f}H{self.end:.2f}"


@dataclass(frozen=True)
class Division:
    """A stage: from one long line to the next, its name stamped beneath."""

    stage: StageMarks
    start: float
    end: float
    cells: tuple[Cell, ...]
    is_here: bool

    @property
    def middle(self) -> float:
        return round((self.start + self.end) / 2, 2)


@dataclass(frozen=True)
class RulePicture:
    """Everything that the template draws, and the same in numbers for the words behind it."""

    size: Size
    divisions: tuple[Division, ...]
    hatching: str
    here: Cell | None
    counts: dict[Mark, int] = field(default_factory=dict)

    @property
    def cells(self) -> tuple[Cell, ...]:
        return tuple(cell for division in self.divisions for cell in division.cells)

    @property
    def done(self) -> int:
        return self.counts.get(Mark.DONE, 0)

    @property
    def total(self) -> int:
        """Operations that this car takes: what is not applicable does not count."""
        return len(self.cells) - self.counts.get(Mark.NOT_APPLICABLE, 0)

    @property
    def is_small(self) -> bool:
        return self.size is SMALL

    @property
    def body_width(self) -> float:
        return self.size.width - 2 * MARGIN

    @property
    def body_height(self) -> float:
        return self.size.body_bottom - self.size.body_top

    @property
    def pointer(self) -> str:
        """A scriber's point, set down where the work is."""
        if self.here is None:
            return ""
        x, tip, s = self.here.middle, self.size.body_top + self.size.symbol, self.size.symbol
        return f"M{x:.2f} {tip:.2f}L{x - s:.2f} {tip - 2 * s:.2f}H{x + s:.2f}Z"


def draw_rule(stages: Sequence[StageMarks], *, size: Size = LARGE) -> RulePicture:
    """Lay the stages along the rule, each long enough for its name, else by its operations."""
    here = _here(stages)
    divisions = tuple(_divisions(stages, here, size))
    cells = [cell for division in divisions for cell in division.cells]
    return RulePicture(
        size=size,
        divisions=divisions,
        hatching=_hatching(cells, size),
        here=next((cell for cell in cells if cell.operation is here), None),
        counts=dict(Counter(cell.operation.mark for cell in cells)),
    )


def _divisions(stages: Sequence[StageMarks], here: OperationMark | None, size: Size) -> Iterable[Division]:
    at = MARGIN
    for stage, width in zip(stages, _widths(stages, size), strict=True):
        cells = tuple(_cells(stage.operations, at, width, size))
        is_here = any(operation is here for operation in stage.operations)
        yield Division(stage, round(at, 2), round(at + width, 2), cells, is_here)
        at += width


def _widths(stages: Sequence[StageMarks], size: Size) -> list[float]:
    """Every name fits; what is left over goes to the stages by their number of operations."""
    names = [(len(stage.label) + 1.5) * size.letter for stage in stages]
    room = size.width - 2 * MARGIN
    scale = min(1.0, room / sum(names)) if names else 1.0
    least = [width * scale for width in names]
    operations = sum(len(stage.operations) for stage in stages)
    left = room - sum(least)
    if not operations:
        return [width + left / len(stages) for width in least]
    return [
        width + left * len(stage.operations) / operations for width, stage in zip(least, stages, strict=True)
    ]


def _cells(operations: Sequence[OperationMark], start: float, width: float, size: Size) -> Iterable[Cell]:
    if not operations:
        return
    each = width / len(operations)
    height = size.body_bottom - size.body_top
    for index, operation in enumerate(operations):
        left = start + index * each
        depth = height if operation.hold_point else height * (0.5 if index % 2 else 0.36)
        yield Cell(operation, round(left, 2), round(left + each, 2), round(size.body_top + depth, 2), size)


def _here(stages: Sequence[StageMarks]) -> OperationMark | None:
    """Where the work is: what is in work, else what is struck out, else what comes next."""
    every = [operation for stage in stages for operation in stage.operations]
    for wanted in ((Mark.IN_WORK,), (Mark.NONCONFORMANCE,), (Mark.BLOCKED, Mark.WAITING)):
        found = next((operation for operation in every if operation.mark in wanted), None)
        if found is not None:
            return found
    return None


def _hatching(cells: Sequence[Cell], size: Size) -> str:
    """One path for all that is done: lines at 45°, running through neighbours without a break."""
    lines: list[str] = []
    for start, end in _done_runs(cells):
        lines.extend(_hatch(start, end, size))
    return "".join(lines)


def _done_runs(cells: Sequence[Cell]) -> list[tuple[float, float]]:
    """Stretches to hatch, neighbours joined; an operation in work is hatched half its way."""
    runs: list[tuple[float, float]] = []
    for cell in cells:
        if cell.operation.mark is Mark.DONE:
            end = cell.end
        elif cell.operation.mark is Mark.IN_WORK:
            end = cell.middle
        else:
            continue
        if runs and runs[-1][1] == cell.start:
            runs[-1] = (runs[-1][0], end)
        else:
            runs.append((cell.start, end))
    return runs


def _hatch(start: float, end: float, size: Size) -> Iterable[str]:
    """Lines rising to the right, cut off at the edges of the stretch."""
    top, bottom = size.body_top, size.body_bottom
    height = bottom - top
    # A line is known by where it would meet the lower edge; counted from zero, so that runs line up.
    number = int((start - height) // size.hatch_step) + 1
    while (foot := number * size.hatch_step) < end:
        left, right = max(foot, start), min(foot + height, end)
        if right > left:
            yield f"M{left:.1f} {bottom - (left - foot):.1f}L{right:.1f} {bottom - (right - foot):.1f}"
        number += 1

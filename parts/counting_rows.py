"""The rows of a counting sheet: one for every part number that may come in a delivery."""

from collections.abc import Sequence
from dataclasses import dataclass

from parts.models import PackingSlip, SlipLine
from parts.standing import LineStanding, OrderStanding


@dataclass(frozen=True)
class CountingRow:
    """One part to count. `line` is where it counts, None for a part that is not in the kit.

    `description` is the slip's; without one the kit's words are shown.
    """

    part_number: str
    description: str
    line: LineStanding | None
    slipped: int | None = None
    backordered: int = 0

    @property
    def is_substitute(self) -> bool:
        return self.line is not None and self.line.part_number != self.part_number

    @property
    def on_slip(self) -> bool:
        return self.slipped is not None


def counting_rows(standing: OrderStanding, slip: PackingSlip | None) -> list[CountingRow]:
    """The lines of the slip as they stand on the paper, then the rest of the kit."""
    lines = {line.kit_line_id: line for line in standing.lines}
    on_slip = list(slip.lines.order_by("pk")) if slip else []
    rows = [_slip_row(slip_line, lines) for slip_line in on_slip]
    return [*rows, *_rest(standing, on_slip)]


def _slip_row(slip_line: SlipLine, lines: dict[int, LineStanding]) -> CountingRow:
    line = lines[slip_line.kit_line_id] if slip_line.kit_line_id else None
    return CountingRow(
        part_number=slip_line.part_number,
        description=slip_line.description,
        line=line,
        slipped=slip_line.slipped,
        backordered=slip_line.backordered,
    )


def _rest(standing: OrderStanding, on_slip: Sequence[SlipLine]) -> list[CountingRow]:
    taken = {slip_line.part_number for slip_line in on_slip}
    return [
        CountingRow(part_number=line.part_number, description="", line=line)
        for line in standing.lines
        if line.part_number not in taken
    ]

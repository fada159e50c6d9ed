"""What is known of one kit order, before anything is compared. Pure."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TypeVar


@dataclass(frozen=True)
class LineFact:
    """A line of the kit."""

    kit_line_id: int
    part_number: str
    description: str
    side: str
    operation: str
    is_critical: bool
    ordered: int


@dataclass(frozen=True)
class SlipFact:
    """A line of a slip."""

    slip_id: int
    kit_line_id: int | None
    part_number: str
    description: str
    slipped: int
    backordered: int
    eta: dt.date | None


@dataclass(frozen=True)
class ReceiptFact:
    """What a receipt counted of one part; where it was counted again, the newest count."""

    slip_id: int | None
    kit_line_id: int | None
    part_number: str
    note: str
    counted: int
    damaged: int
    wrong: int

    @property
    def came(self) -> int:
        return self.counted + self.damaged + self.wrong


@dataclass(frozen=True)
class MovementFact:
    """Pieces that came or went beside the deliveries. `how`: bought, scrapped, the reason of a return."""

    kit_line_id: int | None
    part_number: str
    how: str
    pieces: int


Fact = TypeVar("Fact", SlipFact, ReceiptFact, MovementFact)


@dataclass
class OrderFacts:
    """All that is known of one order. Slips and what was told stand oldest first."""

    number: str
    lines: list[LineFact] = field(default_factory=list)
    slipped: list[SlipFact] = field(default_factory=list)
    received: list[ReceiptFact] = field(default_factory=list)
    told: dict[int, dt.date] = field(default_factory=dict)
    moved: list[MovementFact] = field(default_factory=list)
    is_carried_over: bool = False


def by_number(fact: Fact, own: Mapping[str, int], numbers: Mapping[int | None, str]) -> Fact:
    """The fact for the line that has the part number now: its own, or that of the older list's line."""
    if fact.kit_line_id in own.values():
        return fact
    number = numbers.get(fact.kit_line_id, fact.part_number)
    return replace(fact, kit_line_id=own.get(number))

"""How a kit order stands: what was ordered, slipped and counted, compared. Pure."""

import datetime as dt
from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """In which way what came differs from what was ordered."""

    SHORT_OF_SLIP = "short_of_slip"
    BACKORDERED = "backordered"
    NOT_YET_SLIPPED = "not_yet_slipped"
    NOT_YET_COUNTED = "not_yet_counted"
    OVER = "over"
    DAMAGED = "damaged"
    WRONG = "wrong"
    BOUGHT = "bought"
    SENT_BACK = "sent_back"
    SCRAPPED = "scrapped"
    UNLISTED = "unlisted"


class OrderState(StrEnum):
    """Where an order stands as a whole."""

    EXPECTED = "expected"
    SHORT = "short"
    COMPLETE = "complete"


@dataclass(frozen=True)
class LineStanding:
    """One line of the kit, over all slips and receipts of the order. Numbers are pieces.

    `counted`, `damaged` and `wrong` are what came with deliveries, as last counted; `bought` came from
    elsewhere; `returned`, `damaged_returned` and `wrong_returned` were sent back of what came;
    `scrapped` were spoiled in the work.
    """

    kit_line_id: int
    part_number: str
    description: str
    side: str
    operation: str
    is_critical: bool
    ordered: int
    slipped: int = 0
    slipped_where_counted: int = 0
    backordered: int = 0
    counted: int = 0
    damaged: int = 0
    wrong: int = 0
    bought: int = 0
    returned: int = 0
    scrapped: int = 0
    damaged_returned: int = 0
    wrong_returned: int = 0
    is_counted: bool = False
    told_eta: dt.date | None = None
    slip_eta: dt.date | None = None

    @property
    def came(self) -> int:
        """Pieces that came under this number, whatever their condition."""
        return self.counted + self.damaged + self.wrong

    @property
    def delivered(self) -> int:
        """Good pieces that came with deliveries and were not sent back."""
        return max(0, self.counted - self.returned)

    @property
    def here(self) -> int:
        """Good pieces, wherever they came from."""
        return max(0, self.delivered + self.bought - self.scrapped)

    @property
    def asked_of_suppliers(self) -> int:
        """Pieces to come in all: those of the kit, and one for each that was spoiled in the work."""
        return self.ordered + self.scrapped

    @property
    def damaged_here(self) -> int:
        return max(0, self.damaged - self.damaged_returned)

    @property
    def wrong_here(self) -> int:
        return max(0, self.wrong - self.wrong_returned)

    @property
    def short(self) -> int:
        return max(0, self.ordered - self.here)

    @property
    def over(self) -> int:
        """Good pieces beyond what was ordered; where some were bought, those count as well."""
        return max(0, self.here - self.ordered)

    @property
    def over_delivered(self) -> int:
        """Pieces that the supplier sent beyond what was ordered."""
        return max(0, self.delivered - self.asked_of_suppliers)

    @property
    def unsent(self) -> int:
        """Pieces that are on no slip and have not come from anywhere."""
        sent = max(self.slipped, self.came)
        return max(0, self.asked_of_suppliers - self.bought - sent - self.backordered)

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """Every way in which the line is not as ordered. One that is short has at least one of them."""
        held = (
            (Kind.SHORT_OF_SLIP, self.short and self.slipped_where_counted > self.came),
            (Kind.BACKORDERED, self.short and self.backordered),
            (Kind.NOT_YET_SLIPPED, self.short and self.unsent),
            (Kind.NOT_YET_COUNTED, self.short and self.slipped > self.slipped_where_counted),
            (Kind.OVER, self.over),
            (Kind.DAMAGED, self.damaged),
            (Kind.WRONG, self.wrong),
            (Kind.BOUGHT, self.bought),
            (Kind.SENT_BACK, self.returned),
            (Kind.SCRAPPED, self.scrapped),
        )
        return tuple(kind for kind, holds in held if holds)

    @property
    def eta(self) -> dt.date | None:
        """When all of the missing pieces come: as somebody was told last, else what the slip says of them."""
        if not self.short:
            return None
        # What a slip says of pieces to come it says neither of others nor of those that were spoiled since.
        to_count = self.slipped - self.slipped_where_counted
        tells_all = self.backordered and self.backordered + to_count >= self.short and not self.scrapped
        of_slip = self.slip_eta if tells_all else None
        return self.told_eta or of_slip


@dataclass(frozen=True)
class UnlistedPart:
    """A part that came or was slipped and is not in the kit."""

    part_number: str
    description: str
    slipped: int
    counted: int
    returned: int = 0

    kinds = (Kind.UNLISTED,)

    @property
    def here(self) -> int:
        return max(0, self.counted - self.returned)


@dataclass(frozen=True)
class OrderStanding:
    """How one kit order stands. `is_counted`: every line of a slip, or of the kit, was counted."""

    number: str
    lines: tuple[LineStanding, ...]
    unlisted: tuple[UnlistedPart, ...]
    has_slip: bool
    has_receipt: bool
    is_counted: bool

    @property
    def shortages(self) -> tuple[LineStanding, ...]:
        return tuple(line for line in self.lines if line.short)

    @property
    def critical_shortages(self) -> tuple[LineStanding, ...]:
        return tuple(line for line in self.shortages if line.is_critical)

    @property
    def without_eta(self) -> tuple[LineStanding, ...]:
        return tuple(line for line in self.shortages if line.eta is None)

    @property
    def differing(self) -> tuple[LineStanding, ...]:
        """Lines that are not short, yet not as ordered: over, damaged, wrong, bought, sent back."""
        return tuple(line for line in self.lines if line.kinds and not line.short)

    def shortages_for(self, operation_codes: Collection[str]) -> tuple[LineStanding, ...]:
        """Shortages of parts first needed by one of these operations."""
        return tuple(line for line in self.shortages if line.operation in operation_codes)

    @property
    def state(self) -> OrderState:
        if not self.has_receipt:
            return OrderState.EXPECTED
        return OrderState.SHORT if self.shortages else OrderState.COMPLETE

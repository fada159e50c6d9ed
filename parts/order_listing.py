"""The list of kit orders: what is expected, what is here, what is short."""

import datetime as dt
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from parts.models import KitOrder
from parts.reconciling import reconcile_many
from parts.standing import OrderStanding, OrderState


@dataclass(frozen=True)
class OrderRow:
    """One order as the list shows it on a day."""

    order: KitOrder
    standing: OrderStanding
    today: dt.date

    @property
    def is_late(self) -> bool:
        expected = self.order.expected_on
        is_expected = self.standing.state == OrderState.EXPECTED and not self.standing.has_slip
        return is_expected and expected is not None and expected < self.today

    @property
    def rest_expected_on(self) -> dt.date | None:
        """When the last of what is short is to come, where all of it has a date."""
        days = [line.eta for line in self.standing.shortages if line.eta]
        return max(days, default=None) if not self.standing.without_eta else None


@dataclass(frozen=True)
class OrderList:
    """The rows of one state, and how many there are of each."""

    rows: tuple[OrderRow, ...]
    counts: dict[str, int]
    total: int


SORTS: dict[str, Callable[[OrderRow], Any]] = {
    "number": lambda row: row.order.number,
    "kit": lambda row: (row.order.kit_revision.kit.code, row.order.kit_revision.revision, row.order.number),
    "expected": lambda row: (row.order.expected_on or dt.date.max, row.order.number),
    "short": lambda row: (len(row.standing.shortages) if row.standing.has_receipt else -1, row.order.number),
}


def list_orders(orders: Iterable[KitOrder], *, state: str, sort: str, today: dt.date) -> OrderList:
    """The orders in one state (all, where it is none), sorted by `sort`, downwards after a dash."""
    found = list(orders)
    standings = reconcile_many(found)
    rows = [OrderRow(order, standings[order.pk], today) for order in found]
    counts = Counter(row.standing.state.value for row in rows)
    if state in set(OrderState):
        rows = [row for row in rows if row.standing.state == state]
    key = SORTS.get(sort.removeprefix("-"), SORTS["number"])
    rows.sort(key=key, reverse=sort.startswith("-"))
    return OrderList(tuple(rows), dict(counts), len(found))

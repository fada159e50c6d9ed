"""The list of kit orders in three parts: what is short, what is expected, what is here and complete."""

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from parts.cars import Car, cars
from parts.deadlines import Deadline, deadlines
from parts.models import KitOrder
from parts.reconciling import reconcile_many
from parts.standing import OrderStanding, OrderState

# What is complete is looked up now and then; the newest of it is enough until somebody asks for all.
MOST_COMPLETE = 25


@dataclass(frozen=True)
class OrderRow:
    """One order as the list shows it on a day."""

    order: KitOrder
    standing: OrderStanding
    today: dt.date
    car: Car | None = None
    deadlines: tuple[Deadline, ...] = ()

    @property
    def is_overdue(self) -> bool:
        """Nothing of it has come, and its day is over."""
        return self.days_to_go is not None and self.days_to_go < 0

    @property
    def days_to_go(self) -> int | None:
        """Days until it is expected; None where it has come or nobody has said when.

        With its slip here and its day over it lies about uncounted rather than being overdue.
        """
        expected = self.order.expected_on
        if expected is None or self.standing.state != OrderState.EXPECTED:
            return None
        days = (expected - self.today).days
        return None if days < 0 and self.standing.has_slip else days

    @property
    def to_go_words(self) -> str:
        days = self.days_to_go
        if days is None:
            return ""
        if days < 0:
            return ngettext("%(days)d day overdue", "%(days)d days overdue", -days) % {"days": -days}
        if days == 0:
            return _("today")
        return ngettext("%(days)d day to go", "%(days)d days to go", days) % {"days": days}

    @property
    def rest_expected_on(self) -> dt.date | None:
        """When the last of what is short is to come, where all of it has a date."""
        days = [line.eta for line in self.standing.shortages if line.eta]
        return max(days, default=None) if not self.standing.without_eta else None

    @property
    def rest_is_overdue(self) -> bool:
        return any(line.eta is not None and line.eta < self.today for line in self.standing.shortages)


@dataclass(frozen=True)
class OrderPart:
    """The orders in one state. `left_out`: how many more there are than are shown."""

    state: OrderState
    rows: tuple[OrderRow, ...]
    left_out: int = 0

    @property
    def count(self) -> int:
        return len(self.rows) + self.left_out


@dataclass(frozen=True)
class OrderList:
    """The parts of the list that were asked for; `total` is of all that were found."""

    parts: tuple[OrderPart, ...]
    total: int

    @property
    def rows(self) -> tuple[OrderRow, ...]:
        return tuple(row for part in self.parts for row in part.rows)


SORTS: dict[str, Callable[[OrderRow], Any]] = {
    "number": lambda row: row.order.number,
    "kit": lambda row: (row.order.kit_revision.kit.code, row.order.kit_revision.revision, row.order.number),
    "expected": lambda row: (row.order.expected_on or dt.date.max, row.order.number),
    "short": lambda row: (len(row.standing.shortages) if row.standing.has_receipt else -1, row.order.number),
}
ORDER_OF_STATES = (OrderState.SHORT, OrderState.EXPECTED, OrderState.COMPLETE)


def find_orders(query: str) -> Iterable[KitOrder]:
    """The orders found by number, kit, supplier, slip, or the car that they are for."""
    return KitOrder.objects.with_kit().matching(query, of_cars=cars().orders_of)


def list_orders(
    orders: Iterable[KitOrder], *, state: str = "", sort: str = "expected", today: dt.date
) -> OrderList:
    """The orders in one state (each by itself where it is none), sorted, downwards after a dash."""
    found = list(orders)
    standings = reconcile_many(found)
    due, of_cars = deadlines(standings, today=today), cars().of_orders(standings)
    rows = [OrderRow(o, standings[o.pk], today, of_cars.get(o.pk), due.get(o.pk, ())) for o in found]
    rows.sort(key=SORTS.get(sort.removeprefix("-"), SORTS["expected"]), reverse=sort.startswith("-"))
    is_one = state in set(OrderState)
    parts = (_part(one, rows, whole=is_one) for one in ORDER_OF_STATES if not is_one or one == state)
    return OrderList(tuple(part for part in parts if part.rows), len(found))


def _part(state: OrderState, rows: list[OrderRow], *, whole: bool) -> OrderPart:
    mine = [row for row in rows if row.standing.state == state]
    if state == OrderState.COMPLETE and not whole and len(mine) > MOST_COMPLETE:
        newest = {row.order.pk for row in sorted(mine, key=lambda row: -row.order.pk)[:MOST_COMPLETE]}
        return OrderPart(
            state, tuple(row for row in mine if row.order.pk in newest), len(mine) - MOST_COMPLETE
        )
    return OrderPart(state, tuple(mine))

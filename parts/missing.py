"""All missing parts over all orders: who needs them when, who was told what, overdue ones first."""

import datetime as dt
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from parts.cars import Car, Needs, cars
from parts.in_time import comes_too_late, why_too_late
from parts.models import Expectation, KitOrder
from parts.receiving import SUBJECT
from parts.reconciling import reconcile_many
from parts.standing import Kind, LineStanding, OrderStanding
from parts.wording import part_name
from shop.csv_files import write_sheet
from shop.models import Entry, Outcome, ShopSettings

COLUMNS = (
    *("part_number", "description", "order", "supplier", "job", "short", "ordered", "critical"),
    *("operation", "needed", "expected", "standing", "told", "noted_on"),
)


@dataclass(frozen=True)
class MissingPart:
    """One part that is short, as whoever chases it sees it on a day."""

    order: KitOrder
    line: LineStanding
    told: tuple[Expectation, ...]
    today: dt.date
    saw: UUID | None = None
    car: Car | None = None
    needed_on: dt.date | None = None
    has_started: bool = False

    @property
    def is_overdue(self) -> bool:
        """Its day is over and it has not come."""
        return self.line.eta is not None and self.line.eta < self.today

    @property
    def comes_too_late(self) -> bool:
        return comes_too_late(self.line.eta, self.needed_on)

    @property
    def standing(self) -> str:
        """How pressing it is, in a few words."""
        eta = self.line.eta
        if eta is not None and self.is_overdue:
            days = (self.today - eta).days
            return ngettext("%(days)d day overdue", "%(days)d days overdue", days) % {"days": days}
        if self.has_started:
            return _("its operation has started")
        if eta is None:
            return _("nobody has said when")
        return why_too_late(eta, self.needed_on) or _("in time")

    @property
    def newest(self) -> Expectation | None:
        return self.told[0] if self.told else None

    @property
    def pressing(self) -> tuple[bool, dt.date, bool, str, str]:
        """What is sorted by: overdue first, then by need, then critical first."""
        need = self.needed_on or dt.date.max
        return not self.is_overdue, need, not self.line.is_critical, self.order.number, self.line.part_number

    def has(self, words: str) -> bool:
        """Whether every word is somewhere in part, order, supplier or car."""
        kit = self.order.kit_revision.kit
        car = f"{self.car.job} {self.car.words}" if self.car else ""
        about = (
            f"{self.line.part_number} {self.line.description} {self.order.number} {kit} {kit.supplier} {car}"
        )
        return all(word in about.casefold() for word in words.casefold().split())


@dataclass(frozen=True)
class MissingParts:
    """The whole list, and what was found in it."""

    rows: tuple[MissingPart, ...]
    total: int

    @property
    def overdue(self) -> int:
        return sum(row.is_overdue for row in self.rows)

    @property
    def without_a_day(self) -> int:
        return sum(row.line.eta is None for row in self.rows)


def missing_parts(*, now: dt.datetime, words: str = "") -> MissingParts:
    """Every part that is short in an order of which something has come, in a fixed number of queries."""
    today = ShopSettings.current().day_at(now)
    every = {order.pk: order for order in KitOrder.objects.with_kit()}
    standings = reconcile_many(every.values())
    missing = {pk: lines for pk, standing in standings.items() if (lines := _missing(standing))}
    orders = [every[pk] for pk in missing]
    told, saw = _told(orders), _seen(orders)
    of_cars, needs = cars().of_orders(missing), cars().needs(missing, now=now)
    rows = []
    for order in orders:
        need = needs.get(order.pk, Needs())
        rows += [
            MissingPart(
                order=order,
                line=line,
                told=tuple(told[order.pk, line.kit_line_id]),
                today=today,
                saw=saw.get(order.stream),
                car=of_cars.get(order.pk),
                needed_on=need.days.get(line.operation),
                has_started=line.operation in need.started,
            )
            for line in missing[order.pk]
        ]
    found = sorted((row for row in rows if row.has(words)), key=lambda row: row.pressing)
    return MissingParts(tuple(found), len(rows))


def _missing(standing: OrderStanding) -> tuple[LineStanding, ...]:
    """Lines that are short; what lies there uncounted is not missing yet, nor a kit that has not come."""
    if not standing.has_receipt:
        return ()
    return tuple(line for line in standing.shortages if line.kinds != (Kind.NOT_YET_COUNTED,))


def _told(orders: Sequence[KitOrder]) -> dict[tuple[int, int], list[Expectation]]:
    """What was said of each missing line, the newest first."""
    found: dict[tuple[int, int], list[Expectation]] = defaultdict(list)
    rows = Expectation.objects.filter(order__in=orders).select_related("entry__signer").order_by("-pk")
    for row in rows:
        found[row.order_id, row.kit_line_id].append(row)
    return found


def _seen(orders: Sequence[KitOrder]) -> dict[str, UUID]:
    """The last entry on each order: what whoever looks at the list has seen."""
    rows = Entry.objects.filter(
        stream__in=[order.stream for order in orders], subject=SUBJECT, outcome=Outcome.ACCEPTED
    )
    return dict(rows.order_by("stream", "position").values_list("stream", "pk"))


def missing_file(found: MissingParts) -> bytes:
    """The list as a file, for whoever chases parts by telephone."""
    return write_sheet(COLUMNS, [_cells(row) for row in found.rows])


def _cells(row: MissingPart) -> tuple[str, ...]:
    line, newest = row.line, row.newest
    return (
        *(line.part_number, part_name(line), row.order.number, str(row.order.kit_revision.kit.supplier)),
        *(row.car.job if row.car else "", str(line.short), str(line.ordered)),
        *("yes" if line.is_critical else "no", line.operation),
        row.needed_on.isoformat() if row.needed_on else "",
        line.eta.isoformat() if line.eta else "",
        row.standing,
        newest.note if newest else "",
        newest.entry.received_at.date().isoformat() if newest else "",
    )

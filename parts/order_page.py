"""What the page of one kit order shows."""

import datetime as dt
from dataclasses import dataclass

from django.db.models import Count
from django.utils.translation import gettext as _

from parts.cars import Car, cars
from parts.deadlines import Deadline, deadlines
from parts.kit_superseding import undecided
from parts.models import KitOrder, PackingSlip
from parts.order_history import Happening, history_of
from parts.order_listing import OrderRow
from parts.reconciling import reconcile
from parts.returning import ToGoBack, to_go_back
from parts.standing import OrderStanding
from parts.wording import line_words
from shop.csv_files import write_sheet

STANDING_COLUMNS = (
    *("part_number", "description", "operation", "critical", "ordered", "slipped", "backordered"),
    *("good", "damaged", "wrong", "bought", "sent_back", "short", "expected", "standing"),
)


@dataclass(frozen=True)
class OrderPage:
    order: KitOrder
    standing: OrderStanding
    slips: tuple[PackingSlip, ...]
    history: tuple[Happening, ...]
    deadlines: tuple[Deadline, ...]
    car: Car | None
    today: dt.date
    is_undecided: bool = False

    @classmethod
    def of(cls, order: KitOrder, *, today: dt.date) -> "OrderPage":
        slips = order.slips.annotate(
            lines_count=Count("lines", distinct=True), receipts_count=Count("receipts", distinct=True)
        )
        standing = reconcile(order)
        return cls(
            order=order,
            standing=standing,
            slips=tuple(slips),
            history=history_of(order),
            deadlines=deadlines({order.pk: standing}, today=today).get(order.pk, ()),
            car=cars().of_orders([order.pk]).get(order.pk),
            today=today,
            is_undecided=bool(undecided([order])),
        )

    @property
    def to_go_words(self) -> str:
        return OrderRow(self.order, self.standing, self.today).to_go_words

    @property
    def to_go_back(self) -> tuple[ToGoBack, ...]:
        return to_go_back(self.standing)

    @property
    def headline(self) -> str:
        """The one thing to know about the order."""
        if not self.standing.has_receipt:
            if self.slips:
                return _("A packing slip is here, nothing has been counted yet.")
            return _("Nothing has come yet.")
        if not self.standing.shortages:
            return _("All that was ordered is here.")
        if not self.standing.is_counted:
            return _("Counting has begun; not every line of a slip has been counted.")
        return ""


def standing_file(standing: OrderStanding) -> bytes:
    """How an order stands, line by line, as a file to send to a supplier."""
    return write_sheet(
        STANDING_COLUMNS,
        [
            (
                *(line.part_number, line.description, line.operation),
                "yes" if line.is_critical else "no",
                *(str(line.ordered), str(line.slipped), str(line.backordered)),
                *(str(line.counted), str(line.damaged), str(line.wrong)),
                *(str(line.bought), str(line.returned), str(line.short)),
                line.eta.isoformat() if line.eta else "",
                line_words(line),
            )
            for line in standing.lines
        ],
    )

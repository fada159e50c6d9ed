"""What the page of one kit order shows."""

from dataclasses import dataclass

from django.db.models import Count
from django.utils.translation import gettext as _

from parts.models import Expectation, KitOrder, PackingSlip, Receipt
from parts.reconciling import reconcile
from parts.standing import OrderStanding
from parts.wording import line_words
from shop.csv_files import write_sheet

STANDING_COLUMNS = (
    *("part_number", "description", "operation", "critical", "ordered", "slipped", "backordered"),
    *("good", "damaged", "wrong", "short", "expected", "standing"),
)


@dataclass(frozen=True)
class OrderPage:
    order: KitOrder
    standing: OrderStanding
    slips: tuple[PackingSlip, ...]
    receipts: tuple[Receipt, ...]
    expectations: tuple[Expectation, ...]

    @classmethod
    def of(cls, order: KitOrder) -> "OrderPage":
        slips = order.slips.annotate(
            lines_count=Count("lines", distinct=True), receipts_count=Count("receipts", distinct=True)
        )
        receipts = order.receipts.select_related("slip", "received_by").annotate(parts_count=Count("lines"))
        told = order.expectations.select_related("kit_line", "entry__signer").order_by("-pk")
        return cls(
            order=order,
            standing=reconcile(order),
            slips=tuple(slips),
            receipts=tuple(receipts),
            expectations=tuple(told),
        )

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
                *(str(line.counted), str(line.damaged), str(line.wrong), str(line.short)),
                line.eta.isoformat() if line.eta else "",
                line_words(line),
            )
            for line in standing.lines
        ],
    )

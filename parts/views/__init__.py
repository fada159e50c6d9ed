"""The pages of the parts counter."""

from parts.views.kits import kit, kit_bring_in, kit_export, kit_list, kit_release
from parts.views.orders import expect, order, order_export, order_list, order_open
from parts.views.receiving import count_verdict, receipt, receive
from parts.views.slips import slip_bring_in, slip_export

__all__ = [
    "count_verdict",
    "expect",
    "kit",
    "kit_bring_in",
    "kit_export",
    "kit_list",
    "kit_release",
    "order",
    "order_export",
    "order_list",
    "order_open",
    "receipt",
    "receive",
    "slip_bring_in",
    "slip_export",
]

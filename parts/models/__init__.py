"""Kits, orders, slips, receipts."""

from parts.models.kits import KitDefinition, KitLine, KitRevision, Side, Supplier
from parts.models.orders import Expectation, KitOrder, PackingSlip, Receipt, ReceiptLine, SlipLine

__all__ = [
    "Expectation",
    "KitDefinition",
    "KitLine",
    "KitOrder",
    "KitRevision",
    "PackingSlip",
    "Receipt",
    "ReceiptLine",
    "Side",
    "SlipLine",
    "Supplier",
]

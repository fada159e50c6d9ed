"""Kits, orders, slips, receipts."""

from parts.models.drafts import KitAnswer, KitDecision, KitDraft, KitDraftVersion
from parts.models.kits import KitDefinition, KitLine, KitRevision, Side, Supplier
from parts.models.movements import (
    CarrierNotice,
    DamagePhoto,
    LocalPurchase,
    PartReturn,
    Recount,
    ReturnReason,
    ScrappedPart,
)
from parts.models.orders import Expectation, KitOrder, PackingSlip, Receipt, ReceiptLine, SlipLine

__all__ = [
    "CarrierNotice",
    "DamagePhoto",
    "Expectation",
    "KitAnswer",
    "KitDecision",
    "KitDefinition",
    "KitDraft",
    "KitDraftVersion",
    "KitLine",
    "KitOrder",
    "KitRevision",
    "LocalPurchase",
    "PackingSlip",
    "PartReturn",
    "Receipt",
    "ReceiptLine",
    "Recount",
    "ReturnReason",
    "ScrappedPart",
    "Side",
    "SlipLine",
    "Supplier",
]

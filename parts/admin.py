"""Kits, orders and receipts in the administration pages: read there, changed at the counter."""

from parts.models import (
    DamagePhoto,
    Expectation,
    KitDecision,
    KitDefinition,
    KitDraft,
    KitDraftVersion,
    KitLine,
    KitOrder,
    KitRevision,
    LocalPurchase,
    PackingSlip,
    PartReturn,
    Receipt,
    ReceiptLine,
    Recount,
    ScrappedPart,
    SlipLine,
    Supplier,
)
from shop.admin_sites import register_evidence

register_evidence(Supplier, "name")
register_evidence(KitDefinition, "code", "name", "supplier")
register_evidence(KitRevision, "kit", "revision", "state", "released_at")
register_evidence(
    KitLine, "part_number", "description", "quantity", "operation", "revision", find=("part_number",)
)
register_evidence(KitOrder, "number", "kit_revision", "ordered_on", "expected_on", find=("number",))
register_evidence(PackingSlip, "number", "order", "carrier", "dated_on")
register_evidence(SlipLine, "part_number", "slip", "slipped", "backordered", "eta")
register_evidence(Receipt, "order", "slip", "received_by", "received_at")
register_evidence(ReceiptLine, "part_number", "receipt", "counted", "damaged", "wrong")
register_evidence(Expectation, "kit_line", "order", "eta", "note")
register_evidence(Recount, "receipt_line", "counted", "damaged", "wrong", "reason")
register_evidence(LocalPurchase, "kit_line", "order", "quantity", "bought_from", "part_number", "grade")
register_evidence(PartReturn, "part_number", "order", "quantity", "reason", "sent_on", find=("part_number",))
register_evidence(ScrappedPart, "kit_line", "order", "quantity", "reason", "scrapped_at")
register_evidence(DamagePhoto, "part_number", "receipt", "taken_by", "taken_at")
register_evidence(KitDraft, "kit", "revision", "begun_from", "closed_at")
register_evidence(KitDraftVersion, "draft", "number", "what", "person", "at")
register_evidence(KitDecision, "order", "from_revision", "to_revision", "answer", "person", "second")

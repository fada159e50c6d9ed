"""Kits, orders and receipts in the administration pages: read there, changed at the counter."""

from parts.models import (
    Expectation,
    KitDefinition,
    KitLine,
    KitOrder,
    KitRevision,
    PackingSlip,
    Receipt,
    ReceiptLine,
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

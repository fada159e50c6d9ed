"""The pages of the parts counter."""

from parts.views.damage import carrier_told, damage, damage_photo, damage_photograph
from parts.views.kit_drafts import kit_draft, kit_draft_begin, kit_draft_line, kit_draft_text, kit_new
from parts.views.kit_revisions import kit_compare, kit_floor, order_revision
from parts.views.kits import kit, kit_bring_in, kit_export, kit_list, kit_release
from parts.views.missing import missing_parts, missing_parts_export
from parts.views.movements import local_purchases, recounts, returns
from parts.views.orders import expect, order, order_export, order_list, order_open
from parts.views.receiving import count_verdict, receipt, receive
from parts.views.slips import slip_bring_in, slip_export

__all__ = [
    "carrier_told",
    "count_verdict",
    "damage",
    "damage_photo",
    "damage_photograph",
    "expect",
    "kit",
    "kit_bring_in",
    "kit_compare",
    "kit_draft",
    "kit_draft_begin",
    "kit_draft_line",
    "kit_draft_text",
    "kit_export",
    "kit_floor",
    "kit_list",
    "kit_new",
    "kit_release",
    "local_purchases",
    "missing_parts",
    "missing_parts_export",
    "order",
    "order_export",
    "order_list",
    "order_open",
    "order_revision",
    "receipt",
    "receive",
    "recounts",
    "returns",
    "slip_bring_in",
    "slip_export",
]

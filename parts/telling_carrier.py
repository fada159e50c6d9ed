"""That the carrier was told of damage: when, by whom, and by which number it is known there."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from parts.damage import damaged_lines
from parts.entering import Signed, enter
from parts.models import CarrierNotice, Receipt
from shop.entries import Answer, Refused
from shop.events import append
from shop.models import Entry, Person, ShopSettings


@dataclass(frozen=True)
class Told:
    """What somebody told the carrier of one delivery."""

    told_on: dt.date
    told_by: Person
    reference: str = ""
    note: str = ""


def tell_carrier(*, receipt: Receipt, told: Told, signed: Signed, now: dt.datetime) -> Answer:
    """Record that the carrier was told of the damage in a delivery; the newest notice is shown with its day.

    Refused, with the field, are: a delivery without damage, a day to come or before it came.
    """
    payload = {
        "receipt": receipt.pk,
        "told_on": told.told_on.isoformat(),
        "told_by": told.told_by.pk,
        "reference": told.reference,
        "note": told.note,
    }
    return enter(
        receipt.order,
        "carrier_notice",
        payload,
        signed=signed,
        now=now,
        handle=lambda entry: _record(receipt, told, entry, now),
    )


def _record(receipt: Receipt, told: Told, entry: Entry, now: dt.datetime) -> Mapping[str, Any]:
    if not damaged_lines(receipt):
        raise Refused(_("Nothing of this delivery was counted as damaged."))
    shop = ShopSettings.current()
    if told.told_on > shop.day_at(now):
        message = _("That day has not come yet. Record it when the carrier has been told.")
        raise Refused(message, data={"field": "told_on"})
    if told.told_on < shop.day_at(receipt.received_at):
        raise Refused(_("That day lies before the delivery came."), data={"field": "told_on"})
    row = CarrierNotice.objects.create(
        receipt=receipt,
        told_on=told.told_on,
        told_by=told.told_by,
        reference=told.reference,
        note=told.note,
        entry=entry,
    )
    data = {"receipt": receipt.pk, "told_on": told.told_on, "told_by": told.told_by.pk}
    append(
        stream=receipt.order.stream, kind="damage.carrier_told", data=data, now=now, entry=entry, rows=[row]
    )
    return {**data, "told_on": told.told_on.isoformat()}

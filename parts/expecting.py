"""When a missing part is to come, as somebody was told."""

import datetime as dt
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from parts.models import Expectation, KitOrder
from parts.receiving import SUBJECT
from parts.reconciling import reconcile
from shop.entries import Answer, Envelope, Refused, take_in
from shop.events import append
from shop.models import Entry, Person, ShopSettings


def expect(
    *,
    order: KitOrder,
    part_number: str,
    eta: dt.date,
    note: str,
    entry_id: UUID,
    saw: UUID | None,
    signer: Person,
    signed_how: str,
    now: dt.datetime,
    entered_at: dt.datetime | None = None,
    tablet_id: int | None = None,
) -> Answer:
    """Record when the missing pieces of a part are to come; the newest word counts.

    Refused are a part that is not short, and a day that is over.
    """
    envelope = Envelope(
        id=entry_id,
        stream=order.stream,
        subject=SUBJECT,
        saw=saw,
        kind="expectation",
        payload={"part_number": part_number, "eta": eta.isoformat(), "note": note},
        signer_id=signer.pk,
        signed_how=signed_how,
        entered_at=entered_at,
        tablet_id=tablet_id,
    )
    return take_in(envelope, now=now, handle=lambda entry: _record(order, entry, now))


def _record(order: KitOrder, entry: Entry, now: dt.datetime) -> Mapping[str, Any]:
    part_number, note = entry.payload["part_number"], entry.payload["note"]
    eta = dt.date.fromisoformat(entry.payload["eta"])
    line = next((one for one in reconcile(order).lines if one.part_number == part_number), None)
    if line is None:
        raise Refused(_("%(part)s is not in the kit of this order.") % {"part": part_number})
    if not line.short:
        raise Refused(_("%(part)s is not short: all that was ordered is here.") % {"part": part_number})
    if eta < ShopSettings.current().day_at(now):
        raise Refused(_("That day is over. Say the day on which the part is to come."), data={"field": "eta"})
    expectation = Expectation.objects.create(
        order=order, kit_line_id=line.kit_line_id, eta=eta, note=note, entry=entry
    )
    append(
        stream=order.stream,
        kind="kit.expected",
        data={"part_number": part_number, "eta": eta},
        now=now,
        entry=entry,
        rows=[expectation],
    )
    return {"part_number": part_number, "eta": eta.isoformat()}

"""What goes into a kit order goes in by the one door: who sends it, and what they had seen of the order."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from parts.models import KitOrder
from parts.receiving import SUBJECT
from shop.entries import Answer, Envelope, take_in
from shop.models import Entry, Person


@dataclass(frozen=True)
class Signed:
    """The outside of an entry: its identity, its author, the last entry that the author had seen."""

    entry_id: UUID
    saw: UUID | None
    signer: Person
    signed_how: str
    entered_at: dt.datetime | None = None
    tablet_id: int | None = None


def enter(
    order: KitOrder,
    kind: str,
    payload: dict[str, Any],
    *,
    signed: Signed,
    now: dt.datetime,
    handle: Callable[[Entry], Mapping[str, Any]],
    subject: str = SUBJECT,
) -> Answer:
    """Record an entry on an order, once; `handle` does what it asks for."""
    envelope = Envelope(
        id=signed.entry_id,
        stream=order.stream,
        subject=subject,
        saw=signed.saw,
        kind=kind,
        payload=payload,
        signer_id=signed.signer.pk,
        signed_how=signed.signed_how,
        entered_at=signed.entered_at,
        tablet_id=signed.tablet_id,
    )
    return take_in(envelope, now=now, handle=handle)

"""Damage in carriage: photos of it, and the day by which the carrier has to hear of it."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from parts.entering import Signed, enter
from parts.models import DamagePhoto, Receipt, ReceiptLine
from parts.recounting import pieces_of
from shop.entries import Answer, Refused, last_entry
from shop.events import append, lock_stream
from shop.models import Entry
from shop.pictures import StoredPicture, sha256_in_store

FOLDER = "damage"
MOST_PHOTOS = 12


def damaged_lines(receipt: Receipt) -> list[ReceiptLine]:
    """The lines of a receipt with damaged pieces, as last counted."""
    return [line for line in receipt.lines.prefetch_related("recounts") if pieces_of(line).damaged]


def photograph(
    *, receipt: Receipt, part_number: str, pictures: Sequence[StoredPicture], signed: Signed, now: dt.datetime
) -> Answer:
    """Record photos of what came damaged; their cleaned files are in the store already.

    Photos only add, so an entry on them has seen whatever was there: nobody is told of a conflict.
    """
    payload = {
        "receipt": receipt.pk,
        "part_number": part_number,
        "photos": [{"file": picture.name, "sha256": picture.sha256} for picture in pictures],
    }
    subject = f"damage/{receipt.pk}"
    with transaction.atomic():
        lock_stream(receipt.order.stream)
        return enter(
            receipt.order,
            "damage_photo",
            payload,
            signed=replace(signed, saw=_saw(receipt.order.stream, subject, signed.entry_id)),
            now=now,
            subject=subject,
            handle=lambda entry: _record(receipt, part_number, pictures, entry, now),
        )


def _saw(stream: str, subject: str, entry_id: UUID) -> UUID | None:
    """What an entry that only adds has seen: the last one on its subject; sent again, the same as before."""
    known = Entry.objects.filter(pk=entry_id).first()
    if known is not None:
        return known.saw_id
    last = last_entry(stream, subject)
    return last.pk if last else None


def _record(
    receipt: Receipt, part_number: str, pictures: Sequence[StoredPicture], entry: Entry, now: dt.datetime
) -> Mapping[str, Any]:
    if part_number not in {line.part_number for line in damaged_lines(receipt)}:
        message = _("No damaged piece of %(part)s was counted in this delivery.") % {"part": part_number}
        raise Refused(message, data={"field": "part_number"})
    known = set(receipt.photos.filter(part_number=part_number).values_list("sha256", flat=True))
    fresh = {picture.sha256: picture for picture in pictures if picture.sha256 not in known}
    if not fresh:
        raise Refused(_("These photos are here already."), data={"field": "photos"})
    if any(sha256_in_store(picture.name) != sha256 for sha256, picture in fresh.items()):
        raise Refused(_("A photo did not arrive whole; send it again."), data={"field": "photos"})
    rows = [
        DamagePhoto.objects.create(
            receipt=receipt,
            part_number=part_number,
            image=picture.name,
            sha256=sha256,
            taken_by_id=entry.signer_id,
            taken_at=now,
            entry=entry,
        )
        for sha256, picture in fresh.items()
    ]
    data = {"receipt": receipt.pk, "part_number": part_number, "photos": len(rows)}
    append(
        stream=receipt.order.stream, kind="damage.photographed", data=data, now=now, entry=entry, rows=rows
    )
    return data

"""Pieces spoiled in the work on a car: they are missing again until others come."""

import datetime as dt

from parts.models import KitOrder, ScrappedPart
from parts.standing import LineStanding
from shop.events import append
from shop.models import Entry, Person


def scrap(
    *,
    order: KitOrder,
    line: LineStanding,
    quantity: int,
    reason: str,
    by: Person,
    entry: Entry,
    now: dt.datetime,
) -> ScrappedPart:
    """Record pieces of a line as scrapped, inside of the entry that says so.

    Raises:
        ValueError: so many are not here.
    """
    if not 0 < quantity <= line.here:
        raise ValueError(f"{quantity} of {line.here}")
    row = ScrappedPart.objects.create(
        order=order,
        kit_line_id=line.kit_line_id,
        quantity=quantity,
        reason=reason,
        scrapped_by=by,
        scrapped_at=now,
        entry=entry,
    )
    data = {"part_number": line.part_number, "quantity": quantity, "by": by.pk}
    append(stream=order.stream, kind="kit.scrapped", data=data, now=now, entry=entry, rows=[row])
    return row

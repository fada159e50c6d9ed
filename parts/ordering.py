"""Opening a kit order: from then on its slips and receipts are told apart by its number."""

import datetime as dt
import re

from django.db import transaction
from django.utils.translation import gettext as _

from parts.models import KitOrder, KitRevision
from shop.events import append, lock_stream
from shop.models import Person
from shop.revisions import RevisionState

FIRST_NUMBER = "K-0001"


class OrderError(ValueError):
    """The order cannot be opened; `field` and `message` say why."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field
        self.message = message


def open_order(
    *,
    number: str,
    kit_revision: KitRevision,
    ordered_on: dt.date,
    expected_on: dt.date | None,
    by: Person,
    now: dt.datetime,
) -> KitOrder:
    """Open an order for one car's kit.

    Raises:
        OrderError: for a number in use, a revision that is not released, dates the wrong way about.
    """
    with transaction.atomic():
        lock_stream(f"order/{number}")
        if KitOrder.objects.filter(number__iexact=number).exists():
            raise OrderError("number", _("There is a kit order %(number)s already.") % {"number": number})
        kit_revision.refresh_from_db()
        if kit_revision.state != RevisionState.RELEASED:
            raise OrderError("kit_revision", _("A kit is ordered by a released revision, this one is not."))
        if expected_on is not None and expected_on < ordered_on:
            raise OrderError("expected_on", _("A kit cannot be expected before it was ordered."))
        order = KitOrder.objects.create(
            number=number, kit_revision=kit_revision, ordered_on=ordered_on, expected_on=expected_on
        )
        data = {"kit": kit_revision.kit.code, "revision": kit_revision.revision, "by": by.pk}
        append(stream=order.stream, kind="order.opened", data=data, now=now, rows=[order])
    return order


def next_number() -> str:
    """The number after the highest in use, in its own form; a proposal that may be written over."""
    used = [
        (int(found[2]), found[1], len(found[2]))
        for number in KitOrder.objects.values_list("number", flat=True)
        if (found := re.fullmatch(r"(.*?)([0-9]{1,9})", number))
    ]
    if not used:
        return FIRST_NUMBER
    highest, before, digits = max(used)
    return f"{before}{highest + 1:0{digits}d}"

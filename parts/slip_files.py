"""Bringing a packing slip into the shop's record from a file, and giving it out again."""

import datetime as dt

from django.db import transaction
from django.utils.translation import gettext as _

from parts.kit_parts import lines_by_part
from parts.models import KitOrder, PackingSlip, SlipLine
from parts.slip_sheet import SlipSheet, read_slip, slip_sheet, write_slip
from shop.events import append, lock_stream
from shop.file_errors import FileError, FileErrors
from shop.models import Person


def bring_in_slip(text: bytes, *, by: Person, now: dt.datetime, today: dt.date | None = None) -> PackingSlip:
    """Bring in a packing slip. Nothing is saved unless all of it is right.

    Args:
        today: where given, dates may also be written `day+3`, counted from it.

    Raises:
        FileErrors: with every error, each with its line and column; so for a slip that is here already.
    """
    sheet = read_slip(text, today=today)
    with transaction.atomic():
        order = KitOrder.objects.filter(number=sheet.order).first()
        if order is None:
            message = _("There is no kit order %(order)s here. Open it first, or put its number right.")
            raise FileErrors([FileError(None, "order", message % {"order": sheet.order})])
        lock_stream(order.stream)
        known = order.slips.filter(number=sheet.slip).first()
        if known is not None:
            raise FileErrors([FileError(None, "slip", _already_here(known, sheet))])
        return _lay_down(order, sheet, by=by, now=now)


def slip_file(slip: PackingSlip) -> bytes:
    """The file of a slip, in its one canonical form."""
    return write_slip(slip_sheet(slip))


def _already_here(known: PackingSlip, sheet: SlipSheet) -> str:
    names = {"slip": sheet.slip, "order": sheet.order}
    if slip_sheet(known) == sheet:
        return _("Packing slip %(slip)s of %(order)s is here already, with the same lines.") % names
    message = _(
        "Packing slip %(slip)s of %(order)s is here already, with other lines. A slip never changes: give"
        " this one its own number, or count what came."
    )
    return message % names


def _lay_down(order: KitOrder, sheet: SlipSheet, *, by: Person, now: dt.datetime) -> PackingSlip:
    slip = PackingSlip.objects.create(
        order=order, number=sheet.slip, carrier=sheet.carrier, dated_on=sheet.dated
    )
    known = lines_by_part(order.kit_revision.lines.all())
    lines = SlipLine.objects.bulk_create(
        SlipLine(
            slip=slip,
            kit_line=known.get(line.part_number),
            part_number=line.part_number,
            description=line.description,
            slipped=line.slipped,
            backordered=line.backordered,
            eta=line.eta,
        )
        for line in sheet.lines
    )
    append(
        stream=order.stream,
        kind="slip.brought_in",
        data={"slip": slip.pk, "lines": len(lines), "by": by.pk},
        now=now,
        rows=[slip, *lines],
    )
    return slip

"""Counting a part of a delivery again: the new numbers hold from then on, the first stay in the record."""

import datetime as dt
from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _

from parts.deliveries import CountedPart
from parts.entering import Signed, enter
from parts.models import KitOrder, Receipt, ReceiptLine, Recount
from parts.reconciling import reconcile
from parts.standing import LineStanding
from shop.entries import Answer, Refused
from shop.events import append
from shop.models import Entry


def pieces_of(line: ReceiptLine) -> CountedPart:
    """What holds of a line of a receipt: its newest recount, else its first count."""
    newest = max(line.recounts.all(), key=lambda row: row.pk, default=line)
    return CountedPart(line.part_number, newest.counted, newest.damaged, newest.wrong)


def lines_of(receipt: Receipt) -> list[tuple[ReceiptLine, CountedPart]]:
    """Every line of a receipt as it was first counted, with what holds of it now; in two queries."""
    lines = receipt.lines.select_related("kit_line").prefetch_related("recounts")
    return [(line, pieces_of(line)) for line in lines]


def recount(
    *,
    order: KitOrder,
    line: ReceiptLine,
    pieces: CountedPart,
    reason: str,
    signed: Signed,
    now: dt.datetime,
) -> Answer:
    """Set right what was counted of one part of a receipt, up or down.

    The answer's data say how many are short now and were before. Refused are: no reason, no change, fewer
    than were sent back already, and a count above what was ordered that nobody has confirmed.
    """
    payload = {
        "receipt_line": line.pk,
        "part_number": line.part_number,
        "counted": pieces.counted,
        "damaged": pieces.damaged,
        "wrong": pieces.wrong,
        "over_confirmed": pieces.over_confirmed,
        "reason": reason,
    }
    return enter(
        order,
        "recount",
        payload,
        signed=signed,
        now=now,
        handle=lambda entry: _record(order, line, pieces, reason, entry, now),
    )


def _record(
    order: KitOrder, line: ReceiptLine, pieces: CountedPart, reason: str, entry: Entry, now: dt.datetime
) -> Mapping[str, Any]:
    if not reason.strip():
        raise Refused(_("Say why the count changes."), data={"field": "reason"})
    before = pieces_of(line)
    if (pieces.counted, pieces.damaged, pieces.wrong) == (before.counted, before.damaged, before.wrong):
        raise Refused(_("That is what was counted already: nothing changes."), data={"field": "counted"})
    stood = _line_of(order, line)
    if stood is not None:
        _check(stood, before, pieces)
    else:
        _check_unlisted(order, line, before, pieces)
    row = Recount.objects.create(
        receipt_line=line,
        counted=pieces.counted,
        damaged=pieces.damaged,
        wrong=pieces.wrong,
        reason=reason.strip(),
        entry=entry,
    )
    data = {"receipt_line": line.pk, "part_number": line.part_number}
    append(stream=order.stream, kind="kit.recounted", data=data, now=now, entry=entry, rows=[row])
    stands = _line_of(order, line)
    return {
        "receipt": line.receipt_id,
        "part_number": line.part_number,
        "was_short": stood.short if stood else 0,
        "short": stands.short if stands else 0,
        "operation": stands.operation if stands else "",
    }


def _line_of(order: KitOrder, line: ReceiptLine) -> LineStanding | None:
    if line.kit_line_id is None:
        return None
    return next(one for one in reconcile(order).lines if one.kit_line_id == line.kit_line_id)


def _check(stood: LineStanding, before: CountedPart, pieces: CountedPart) -> None:
    good = stood.counted - before.counted + pieces.counted
    _not_below("counted", good, stood.returned)
    _not_below("damaged", stood.damaged - before.damaged + pieces.damaged, stood.damaged_returned)
    _not_below("wrong", stood.wrong - before.wrong + pieces.wrong, stood.wrong_returned)
    delivered, asked = good - stood.returned, stood.asked_of_suppliers
    if pieces.counted > before.counted and delivered > asked and not pieces.over_confirmed:
        words = _("That makes %(total)d good ones, but %(ordered)d were ordered.")
        raise Refused(words % {"total": delivered, "ordered": asked}, data={"field": "over_confirmed"})


def _check_unlisted(order: KitOrder, line: ReceiptLine, before: CountedPart, pieces: CountedPart) -> None:
    stood = next(one for one in reconcile(order).unlisted if one.part_number == line.part_number)
    _not_below("counted", stood.counted - before.came + pieces.came, stood.returned)


def _not_below(field: str, total: int, returned: int) -> None:
    if total < returned:
        words = _("%(returned)d were sent back already, so fewer cannot have come.")
        raise Refused(words % {"returned": returned}, data={"field": field})

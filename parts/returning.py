"""Pieces sent back to the supplier: what is here to go back, and that it went."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from parts.entering import Signed, enter
from parts.kit_parts import lines_by_part
from parts.models import KitLine, KitOrder, PartReturn, ReturnReason
from parts.reconciling import reconcile
from parts.standing import LineStanding, OrderStanding, UnlistedPart
from shop.entries import Answer, Refused
from shop.events import append
from shop.models import Entry, ShopSettings


@dataclass(frozen=True)
class SentBack:
    """What somebody sent back."""

    part_number: str
    quantity: int
    reason: str
    sent_on: dt.date
    reference: str = ""
    note: str = ""


@dataclass(frozen=True)
class ToGoBack:
    """Pieces that are here and of no use: damaged, wrong, too many, not of this kit."""

    part_number: str
    description: str
    reason: ReturnReason
    pieces: int


def to_go_back(standing: OrderStanding) -> tuple[ToGoBack, ...]:
    """What is here to be sent back, in the order of the kit."""
    found = [
        ToGoBack(line.part_number, line.description, reason, pieces)
        for line in standing.lines
        for reason, pieces in _of_line(line)
    ]
    found += [
        ToGoBack(part.part_number, part.description, ReturnReason.UNLISTED, part.here)
        for part in standing.unlisted
    ]
    return tuple(row for row in found if row.pieces)


def _of_line(line: LineStanding) -> Iterator[tuple[ReturnReason, int]]:
    yield ReturnReason.DAMAGED, line.damaged_here
    yield ReturnReason.WRONG, line.wrong_here
    yield ReturnReason.OVER, line.over_delivered


def send_back(*, order: KitOrder, sent: SentBack, signed: Signed, now: dt.datetime) -> Answer:
    """Record pieces sent back. A good piece that goes back is no longer here.

    Refused, with the field, are: a part that is not here, more pieces than are here for that reason, a
    day to come or before the order.
    """
    payload = {**asdict(sent), "sent_on": sent.sent_on.isoformat()}
    return enter(
        order,
        "part_return",
        payload,
        signed=signed,
        now=now,
        handle=lambda entry: _record(order, sent, entry, now),
    )


def _record(order: KitOrder, sent: SentBack, entry: Entry, now: dt.datetime) -> Mapping[str, Any]:
    line = lines_by_part(order.kit_revision.lines.all()).get(sent.part_number)
    _check(reconcile(order), line, sent)
    _check_day(order, sent.sent_on, now)
    row = PartReturn.objects.create(
        order=order, kit_line=line, **asdict(sent), sent_by_id=entry.signer_id, entry=entry
    )
    data = {"part_number": sent.part_number, "quantity": sent.quantity, "reason": sent.reason}
    append(stream=order.stream, kind="kit.sent_back", data=data, now=now, entry=entry, rows=[row])
    return {**data, "short": [one.part_number for one in reconcile(order).shortages]}


def _check(standing: OrderStanding, line: KitLine | None, sent: SentBack) -> None:
    if sent.reason not in ReturnReason.values:
        raise Refused(_("Say why it goes back."), data={"field": "reason"})
    here = _here(standing, line, sent)
    if here is None:
        message = _("%(part)s did not come with this order.") % {"part": sent.part_number}
        raise Refused(message, data={"field": "part_number"})
    if not 0 < sent.quantity <= here:
        words = {"count": here, "reason": ReturnReason(sent.reason).label}
        message = ngettext(
            "Only %(count)d piece is here to go back as: %(reason)s.",
            "Only %(count)d pieces are here to go back as: %(reason)s.",
            here,
        )
        raise Refused(message % words if here else _none_words(sent), data={"field": "quantity"})


def _none_words(sent: SentBack) -> str:
    words = {"part": sent.part_number, "reason": ReturnReason(sent.reason).label}
    return _("No piece of %(part)s is here to go back as: %(reason)s.") % words


def _here(standing: OrderStanding, line: KitLine | None, sent: SentBack) -> int | None:
    """How many pieces of the part are here that can go back for that reason; None for an unknown part."""
    if line is None:
        part = next((one for one in standing.unlisted if one.part_number == sent.part_number), None)
        return _of_unlisted(part, sent.reason) if part else None
    stands = next(one for one in standing.lines if one.kit_line_id == line.pk)
    return {**dict(_of_line(stands)), ReturnReason.DEFECTIVE: stands.delivered}.get(
        ReturnReason(sent.reason), 0
    )


def _of_unlisted(part: UnlistedPart, reason: str) -> int:
    return part.here if reason == ReturnReason.UNLISTED else 0


def _check_day(order: KitOrder, day: dt.date, now: dt.datetime) -> None:
    if day > ShopSettings.current().day_at(now):
        raise Refused(_("That day has not come yet. Record it when it has gone."), data={"field": "sent_on"})
    if day < order.ordered_on:
        raise Refused(_("That day lies before the order."), data={"field": "sent_on"})

"""Receiving a kit: what was counted goes in by the one door and adds to what was counted before."""

import datetime as dt
from collections import Counter
from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from parts.deliveries import CountedPart, Delivery
from parts.kit_parts import lines_by_part
from parts.models import KitLine, KitOrder, PackingSlip, Receipt, ReceiptLine
from parts.reconciling import reconcile
from parts.standing import LineStanding
from shop.days import day_words
from shop.entries import Answer, Envelope, Refused, last_entry, take_in
from shop.events import append
from shop.models import Entry, Person, ShopSettings

SUBJECT = "receipt"


def last_seen(order: KitOrder) -> UUID | None:
    """What whoever counts now has seen: to be sent back as `saw`."""
    last = last_entry(order.stream, SUBJECT)
    return last.pk if last else None


def receive(
    *,
    order: KitOrder,
    delivery: Delivery,
    entry_id: UUID,
    saw: UUID | None,
    signer: Person,
    signed_how: str,
    now: dt.datetime,
    entered_at: dt.datetime | None = None,
    tablet_id: int | None = None,
) -> Answer:
    """Record one delivery as it was counted.

    The answer's data names the receipt and every part still short. Refused, with `fields` saying what is
    wrong with which part, are: nothing counted, a part that is not in the kit and not said to be unlisted,
    a slip of another order, a part counted against the same slip before of which nobody says that more came,
    and a count above what was ordered that nobody has confirmed.
    """
    envelope = Envelope(
        id=entry_id,
        stream=order.stream,
        subject=SUBJECT,
        saw=saw,
        kind="receipt",
        payload=delivery.as_payload(),
        signer_id=signer.pk,
        signed_how=signed_how,
        entered_at=entered_at,
        tablet_id=tablet_id,
    )
    return take_in(envelope, now=now, handle=lambda entry: _record(order, delivery, entry, now))


def _record(order: KitOrder, delivery: Delivery, entry: Entry, now: dt.datetime) -> Mapping[str, Any]:
    slip = _slip(order, delivery.slip)
    of_kit = lines_by_part(order.kit_revision.lines.all())
    fields = _problems(delivery, of_kit) or _questions(order, slip, delivery, of_kit)
    if fields:
        message = ngettext(
            "Nothing was recorded: look at %(count)d part again.",
            "Nothing was recorded: look at %(count)d parts again.",
            len(fields),
        )
        raise Refused(message % {"count": len(fields)}, data={"fields": fields})
    receipt = Receipt.objects.create(
        order=order,
        slip=slip,
        entry=entry,
        received_at=now,
        received_by_id=entry.signer_id,
        claim_by=claim_day(now),
    )
    lines = ReceiptLine.objects.bulk_create(_receipt_line(receipt, part, of_kit) for part in delivery.parts)
    append(
        stream=order.stream,
        kind="kit.received",
        data={"receipt": receipt.pk, "parts": len(lines)},
        now=now,
        entry=entry,
        rows=[receipt, *lines],
    )
    return _answer(order, receipt)


def claim_day(came_at: dt.datetime) -> dt.date:
    """The day by which the carrier has to hear of damage: the shop's days, by the calendar.

    Carriers count working days or calendar days; by the calendar is never too late by either.
    """
    rules = ShopSettings.current()
    return rules.day_at(came_at) + dt.timedelta(days=rules.damage_claim_days)


def _slip(order: KitOrder, number: str) -> PackingSlip | None:
    if not number:
        return None
    slip = order.slips.filter(number=number).first()
    if slip is None:
        names = {"slip": number, "order": order.number}
        raise Refused(_("Packing slip %(slip)s is not of kit order %(order)s.") % names)
    return slip


def _problems(delivery: Delivery, of_kit: Mapping[str, KitLine]) -> dict[str, dict[str, str]]:
    """What is wrong with which part, by part number and field."""
    if not delivery.parts:
        raise Refused(_("Nothing was counted. Type at least one count, 0 where nothing came."))
    fields: dict[str, dict[str, str]] = {}
    times = Counter(part.part_number for part in delivery.parts)
    for part in delivery.parts:
        line = of_kit.get(part.part_number)
        if times[part.part_number] > 1:
            fields[part.part_number] = {"part_number": _("This part is there twice; count it on one line.")}
        elif line is None and not part.is_unlisted:
            fields[part.part_number] = {"part_number": _("This part is not in the kit.")}
        elif line is not None and part.is_unlisted:
            message = _("This part is in the kit; count it on the line of %(part)s.")
            fields[part.part_number] = {"part_number": message % {"part": line.part_number}}
    return fields


def _questions(
    order: KitOrder, slip: PackingSlip | None, delivery: Delivery, of_kit: Mapping[str, KitLine]
) -> dict[str, dict[str, str]]:
    """What somebody has to say yes to first, all of it asked at once."""
    fields = _counted_before(slip, delivery)
    for part, words in _unconfirmed(order, delivery, of_kit).items():
        fields[part] = {**fields.get(part, {}), **words}
    return fields


def _unconfirmed(
    order: KitOrder, delivery: Delivery, of_kit: Mapping[str, KitLine]
) -> dict[str, dict[str, str]]:
    """Counts that bring a line above what was ordered and that nobody has confirmed."""
    standing = {line.kit_line_id: line for line in reconcile(order).lines}
    so_far = {pk: line.delivered for pk, line in standing.items()}
    fields = {}
    for part in delivery.parts:
        if part.is_unlisted or not part.counted:
            continue
        line = standing[of_kit[part.part_number].pk]
        so_far[line.kit_line_id] += part.counted
        if so_far[line.kit_line_id] > line.asked_of_suppliers and not part.over_confirmed:
            fields[part.part_number] = {"over": _over_words(line, so_far[line.kit_line_id])}
    return fields


def _counted_before(slip: PackingSlip | None, delivery: Delivery) -> dict[str, dict[str, str]]:
    """Parts that were counted against the same slip before, nobody saying that more of them came."""
    if slip is None:
        return {}
    asked = {part.part_number for part in delivery.parts if part.came and not part.more_came}
    earlier = ReceiptLine.objects.filter(receipt__slip=slip, part_number__in=asked)
    words = _("Counted against %(slip)s already: %(count)d on %(day)s. Was that wrong, count it again there.")
    return {
        line.part_number: {
            "again": words
            % {
                "slip": slip.number,
                "count": line.counted + line.damaged + line.wrong,
                "day": day_words(timezone.localtime(line.receipt.received_at).date()),
            }
        }
        for line in earlier.select_related("receipt").order_by("pk")
        if line.counted + line.damaged + line.wrong
    }


def _over_words(line: LineStanding, total: int) -> str:
    if line.delivered:
        words = _("With the %(before)d counted before that makes %(total)d, but %(ordered)d were ordered.")
    else:
        words = _("%(total)d counted, but %(ordered)d ordered.")
    return words % {"before": line.delivered, "total": total, "ordered": line.asked_of_suppliers}


def _receipt_line(receipt: Receipt, part: CountedPart, of_kit: Mapping[str, KitLine]) -> ReceiptLine:
    return ReceiptLine(
        receipt=receipt,
        kit_line=of_kit.get(part.part_number),
        part_number=part.part_number,
        counted=part.counted,
        damaged=part.damaged,
        wrong=part.wrong,
        note=part.note,
    )


def _answer(order: KitOrder, receipt: Receipt) -> dict[str, Any]:
    standing = reconcile(order)
    return {
        "receipt": receipt.pk,
        "is_counted": standing.is_counted,
        "short": [
            {
                "part_number": line.part_number,
                "short": line.short,
                "operation": line.operation,
                "critical": line.is_critical,
            }
            for line in standing.shortages
        ],
    }

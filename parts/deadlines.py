"""The days by which carriers have to hear of damage: which deliveries, how long there is left."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.db.models import Count, Prefetch, Q
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from parts.models import CarrierNotice, Receipt, ReceiptLine
from parts.recounting import pieces_of
from parts.standing import OrderStanding
from shop.days import day_words

SOON_DAYS = 2


@dataclass(frozen=True)
class Deadline:
    """A delivery with damaged pieces that are still here, and how the carrier's deadline stands today."""

    receipt: Receipt
    parts: tuple[tuple[str, int], ...]
    photos: int
    today: dt.date

    @property
    def notice(self) -> CarrierNotice | None:
        """What the carrier was told last, if anything."""
        return max(self.receipt.carrier_notices.all(), key=lambda row: row.pk, default=None)

    @property
    def carrier(self) -> str:
        return self.receipt.slip.carrier if self.receipt.slip else ""

    @property
    def by(self) -> dt.date | None:
        return self.receipt.claim_by

    @property
    def days_left(self) -> int | None:
        return (self.by - self.today).days if self.by else None

    @property
    def is_over(self) -> bool:
        return self.notice is None and self.days_left is not None and self.days_left < 0

    @property
    def is_pressing(self) -> bool:
        return self.notice is None and self.days_left is not None and 0 <= self.days_left <= SOON_DAYS

    def _told_words(self, notice: CarrierNotice) -> str:
        day = _("told on %(day)s") % {"day": day_words(notice.told_on)}
        if self.by is None:
            return day
        late = (notice.told_on - self.by).days
        if late > 0:
            days = ngettext(
                "%(days)d day after the last day, %(by)s", "%(days)d days after the last day, %(by)s", late
            )
            return f"{day}, {days % {'days': late, 'by': day_words(self.by)}}"
        return _("%(told)s, in time; the last day is %(by)s") % {"told": day, "by": day_words(self.by)}

    @property
    def parts_words(self) -> str:
        return ", ".join(
            _("%(count)d of %(part)s") % {"count": count, "part": part} for part, count in self.parts
        )

    @property
    def words(self) -> str:
        """By when, and how long that is: 'by 30 Nov 2026, 5 days left'; or that the carrier was told."""
        if self.notice is not None:
            return self._told_words(self.notice)
        if self.by is None or self.days_left is None:
            return _("no day was noted when it came; ask the carrier")
        day = _("by %(day)s") % {"day": day_words(self.by)}
        if self.days_left == 0:
            return _("%(day)s, which is today") % {"day": day}
        if self.days_left < 0:
            over = ngettext("%(days)d day ago", "%(days)d days ago", -self.days_left)
            return f"{day}, {over % {'days': -self.days_left}}"
        left = ngettext("%(days)d day left", "%(days)d days left", self.days_left)
        return f"{day}, {left % {'days': self.days_left}}"


def deadlines(standings: Mapping[int, OrderStanding], *, today: dt.date) -> dict[int, tuple[Deadline, ...]]:
    """The deliveries of these orders with damaged pieces that are still here, by the key of the order."""
    here = {(pk, part) for pk, standing in standings.items() for part in _damaged_here(standing)}
    if not here:
        return {}
    damaged: dict[int, dict[str, int]] = defaultdict(dict)
    rows = ReceiptLine.objects.filter(receipt__order__in={pk for pk, _part in here})
    rows = rows.filter(Q(damaged__gt=0) | Q(recounts__damaged__gt=0)).distinct().order_by("receipt", "pk")
    for line in rows.select_related("receipt").prefetch_related("recounts"):
        part = line.kit_line_id or line.part_number
        if (line.receipt.order_id, part) in here and (count := pieces_of(line).damaged):
            damaged[line.receipt_id][line.part_number] = count
    notices = Prefetch("carrier_notices", CarrierNotice.objects.select_related("told_by"))
    receipts = Receipt.objects.filter(pk__in=damaged).select_related("order", "slip", "received_by")
    receipts = receipts.prefetch_related(notices)
    found: dict[int, list[Deadline]] = defaultdict(list)
    for receipt in receipts.annotate(photos_count=Count("photos")).order_by("claim_by", "pk"):
        parts = tuple(damaged[receipt.pk].items())
        found[receipt.order_id].append(Deadline(receipt, parts, receipt.photos_count, today))
    return {pk: tuple(rows) for pk, rows in found.items()}


def _damaged_here(standing: OrderStanding) -> Iterator[int | str]:
    """The parts that may have damaged pieces here: the line of the kit, or the number of an unlisted part."""
    yield from (line.kit_line_id for line in standing.lines if line.damaged_here)
    yield from (part.part_number for part in standing.unlisted if part.here)

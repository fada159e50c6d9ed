"""The kit receiving report: what was ordered, sent, counted and found, as a paper for shop and supplier.

It is read from the record once, and names the point of the record at which it was read.
"""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from django.core.files.storage import default_storage
from django.db.models import Count
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from parts.buying import is_other_grade
from parts.cars import Car, cars
from parts.deadlines import Deadline, deadlines
from parts.models import DamagePhoto, Expectation, KitOrder, LocalPurchase, PartReturn, Receipt, Recount
from parts.reconciling import reconcile
from parts.standing import LineStanding, OrderStanding, UnlistedPart
from shop.documents.kinds import Paper, PaperError, Subject
from shop.documents.models import Document

SHORT_HASH = 12
MOST_PHOTOS = 24
LINES_ON_A_PAGE = 30


@dataclass(frozen=True)
class Correction:
    """A recount, with what held of its line before."""

    recount: Recount
    before: Recount | None

    @property
    def was(self) -> object:
        return self.before or self.recount.receipt_line


@dataclass(frozen=True)
class Purchase:
    """Pieces bought elsewhere, beside what the kit asks for."""

    row: LocalPurchase

    @property
    def is_other_grade(self) -> bool:
        return is_other_grade(self.row.kit_line, self.row.grade)


@dataclass(frozen=True)
class ReceivingReport:
    """Everything that the report says."""

    document: Document
    order: KitOrder
    standing: OrderStanding
    receipts: tuple[Receipt, ...]
    deadlines: tuple[Deadline, ...]
    corrections: tuple[Correction, ...]
    purchases: tuple[Purchase, ...]
    returns: tuple[PartReturn, ...]
    told: tuple[Expectation, ...]
    photos: tuple[DamagePhoto, ...]
    car: Car | None

    @property
    def record_mark(self) -> str:
        """Sequence and beginning of the hash: whoever holds a later pair holds a later record."""
        return f"{self.document.record_sequence}-{self.document.record_hash[:SHORT_HASH]}"

    @property
    def over(self) -> tuple[LineStanding, ...]:
        return tuple(line for line in self.standing.lines if line.over)

    @property
    def damaged(self) -> tuple[LineStanding, ...]:
        return tuple(line for line in self.standing.lines if line.damaged)

    @property
    def wrong(self) -> tuple[LineStanding, ...]:
        return tuple(line for line in self.standing.lines if line.wrong)

    @property
    def unlisted(self) -> tuple[UnlistedPart, ...]:
        return self.standing.unlisted

    @property
    def is_as_ordered(self) -> bool:
        whole = self.standing.has_receipt and not self.standing.shortages
        return whole and not (self.over or self.damaged or self.wrong or self.unlisted)


def subject(stream: str) -> Subject | None:
    """The kit order that a report of this stream is about, if there is one."""
    number = _number_in(stream)
    if number is None or not KitOrder.objects.filter(number=number).exists():
        return None
    url = reverse("parts:order", args=[number])
    return Subject(_("Kit order %(number)s") % {"number": number}, url)


def build_receiving_report(document: Document) -> Paper:
    """Read the record of a kit order, in a number of queries that does not hang on its size."""
    order = KitOrder.objects.with_kit().filter(number=_number_in(document.stream) or "").first()
    if order is None:
        raise PaperError(_("There is no such kit order: %s") % document.stream)
    report = _read(document, order, today=timezone.localtime(document.asked_at).date())
    files = {photo.pk: path for photo in report.photos if (path := _file_of(photo))}
    return Paper(
        template="print/receiving_report.html",
        context={
            "report": report,
            "order": order,
            "pictures": [photo for photo in report.photos if photo.pk in files],
            "lost": [photo for photo in report.photos if photo.pk not in files],
        },
        title=_("Kit receiving report, order %(number)s") % {"number": order.number},
        pages=1 + len(report.standing.lines) // LINES_ON_A_PAGE + len(files) // 6,
        photos={f"{pk}.jpg": path for pk, path in files.items()},
    )


def _read(document: Document, order: KitOrder, *, today: dt.date) -> ReceivingReport:
    standing = reconcile(order)
    receipts = order.receipts.select_related("slip", "received_by").annotate(parts_count=Count("lines"))
    purchases = order.local_purchases.select_related("kit_line", "bought_by").order_by("pk")
    photos = DamagePhoto.objects.filter(receipt__order=order).select_related("taken_by")
    told = order.expectations.select_related("kit_line", "entry__signer").order_by("-pk")
    return ReceivingReport(
        document=document,
        order=order,
        standing=standing,
        receipts=tuple(receipts.order_by("pk")),
        deadlines=deadlines({order.pk: standing}, today=today).get(order.pk, ()),
        corrections=tuple(_corrections(order)),
        purchases=tuple(Purchase(row) for row in purchases),
        returns=tuple(order.returns.select_related("kit_line", "sent_by").order_by("pk")),
        told=tuple(told),
        photos=tuple(photos.order_by("part_number", "taken_at")[:MOST_PHOTOS]),
        car=cars().of_orders([order.pk]).get(order.pk),
    )


def _corrections(order: KitOrder) -> Iterator[Correction]:
    """Every recount, with the count that it sets right."""
    rows = Recount.objects.filter(receipt_line__receipt__order=order).order_by("pk")
    before: dict[int, Recount] = {}
    for row in rows.select_related("receipt_line", "entry__signer"):
        yield Correction(row, before.get(row.receipt_line_id))
        before[row.receipt_line_id] = row


def _file_of(photo: DamagePhoto) -> Path | None:
    """The file of a photo; None where it is gone or was changed."""
    return Path(default_storage.path(str(photo.image.name))) if photo.file_is_whole() else None


def _number_in(stream: str) -> str | None:
    family, _slash, number = stream.partition("/")
    return number if family == "order" and number else None

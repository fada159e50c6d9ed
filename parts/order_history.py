"""What happened to a kit order: deliveries, recounts, purchases, returns, photos, dates that were told."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import Count
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from parts.models import CarrierNotice, DamagePhoto, KitOrder, Recount
from parts.wording import pieces_words
from shop.days import day_words


@dataclass(frozen=True)
class Happening:
    """One thing that happened, in words; `url` is the page about it."""

    at: dt.datetime
    words: str
    who: str
    note: str = ""
    url: str = ""


def history_of(order: KitOrder) -> tuple[Happening, ...]:
    found = [
        *_receipts(order),
        *_recounts(order),
        *_purchases(order),
        *_returns(order),
        *_scrapped(order),
        *_expectations(order),
        *_photos(order),
        *_notices(order),
        *_decisions(order),
    ]
    return tuple(sorted(found, key=lambda happening: happening.at, reverse=True))


def _receipts(order: KitOrder) -> Iterator[Happening]:
    rows = order.receipts.select_related("slip", "received_by").annotate(parts_count=Count("lines"))
    for row in rows:
        count: int = row.parts_count
        parts = ngettext("%(count)d part counted", "%(count)d parts counted", count) % {"count": count}
        against = _("against %(slip)s") % {"slip": row.slip.number} if row.slip else _("without a slip")
        url = reverse("parts:receipt", args=[order.number, row.pk])
        yield Happening(row.received_at, f"{parts} {against}", str(row.received_by), url=url)


def _recounts(order: KitOrder) -> Iterator[Happening]:
    rows = Recount.objects.filter(receipt_line__receipt__order=order)
    for row in rows.select_related("receipt_line", "entry__signer"):
        names = {"part": row.receipt_line.part_number, "pieces": pieces_words(row)}
        url = reverse("parts:receipt", args=[order.number, row.receipt_line.receipt_id])
        words = _("%(part)s counted again: %(pieces)s") % names
        yield Happening(row.entry.received_at, words, str(row.entry.signer), row.reason, url)


def _scrapped(order: KitOrder) -> Iterator[Happening]:
    for row in order.scrapped.select_related("kit_line", "scrapped_by"):
        names = {"count": row.quantity, "part": row.kit_line.part_number}
        words = _("%(count)d of %(part)s scrapped in the work, missing again") % names
        yield Happening(row.scrapped_at, words, str(row.scrapped_by), row.reason)


def _purchases(order: KitOrder) -> Iterator[Happening]:
    for row in order.local_purchases.select_related("kit_line", "bought_by"):
        names = {"count": row.quantity, "part": row.kit_line.part_number, "shop": row.bought_from}
        words = _("%(count)d of %(part)s bought from %(shop)s") % names
        which = ", ".join(part for part in (row.part_number, grade_words(row.grade)) if part)
        words += f" ({which})" if which else ""
        yield Happening(row.bought_at, words, str(row.bought_by), row.note)


def grade_words(grade: str) -> str:
    return _("grade %(grade)s") % {"grade": grade} if grade else ""


def _returns(order: KitOrder) -> Iterator[Happening]:
    for row in order.returns.select_related("entry", "sent_by"):
        names = {"count": row.quantity, "part": row.part_number, "reason": row.get_reason_display()}
        words = _("%(count)d of %(part)s sent back on %(day)s (%(reason)s)") % {
            **names,
            "day": day_words(row.sent_on),
        }
        words += _(", return number %(number)s") % {"number": row.reference} if row.reference else ""
        yield Happening(row.entry.received_at, words, str(row.sent_by), row.note)


def _expectations(order: KitOrder) -> Iterator[Happening]:
    for row in order.expectations.select_related("kit_line", "entry__signer"):
        names = {"part": row.kit_line.part_number, "day": day_words(row.eta)}
        words = _("%(part)s expected %(day)s") % names
        yield Happening(row.entry.received_at, words, str(row.entry.signer), row.note)


def _photos(order: KitOrder) -> Iterator[Happening]:
    rows = DamagePhoto.objects.filter(receipt__order=order).order_by()
    about = ("entry", "taken_at", "receipt", "part_number", "taken_by__full_name", "taken_by__username")
    for entry in rows.values(*about).annotate(count=Count("pk")):
        words = ngettext(
            "%(count)d photo of damage to %(part)s", "%(count)d photos of damage to %(part)s", entry["count"]
        ) % {"count": entry["count"], "part": entry["part_number"]}
        url = reverse("parts:damage", args=[order.number, entry["receipt"]])
        who = entry["taken_by__full_name"] or entry["taken_by__username"]
        yield Happening(entry["taken_at"], words, who, url=url)


def _notices(order: KitOrder) -> Iterator[Happening]:
    rows = CarrierNotice.objects.filter(receipt__order=order)
    for row in rows.select_related("told_by", "entry"):
        words = _("carrier told of the damage on %(day)s") % {"day": day_words(row.told_on)}
        words += _(", number %(number)s") % {"number": row.reference} if row.reference else ""
        url = reverse("parts:damage", args=[order.number, row.receipt_id])
        yield Happening(row.entry.received_at, words, str(row.told_by), row.note, url)


def _decisions(order: KitOrder) -> Iterator[Happening]:
    for row in order.decisions.select_related("from_revision", "to_revision", "person", "second"):
        names = {"old": row.from_revision.revision, "new": row.to_revision.revision}
        words = _("list %(old)s superseded by %(new)s: %(answer)s") % {
            **names,
            "answer": row.get_answer_display(),
        }
        who = f"{row.person}, {row.second}" if row.second else str(row.person)
        url = reverse("parts:order_revision", args=[order.number])
        yield Happening(row.decided_at, words, who, row.reason, url)

"""Pieces of a kit's line bought elsewhere, so that the car can go on: they count as here."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from parts.counts import MOST_PIECES
from parts.entering import Signed, enter
from parts.models import KitLine, KitOrder, LocalPurchase
from parts.reconciling import reconcile
from shop.entries import Answer, Refused
from shop.events import append
from shop.models import Entry


@dataclass(frozen=True)
class Bought:
    """What somebody brought from elsewhere: how many, from whom, what exactly."""

    quantity: int
    bought_from: str
    part_number: str = ""
    grade: str = ""
    price_each: Decimal | None = None
    note: str = ""


def must_say_which(line: KitLine) -> bool:
    """Whether what is bought for a line has to be named: a critical part, or a fastener with a grade."""
    return line.is_critical or bool(line.grade)


def buy(*, order: KitOrder, line: KitLine, bought: Bought, signed: Signed, now: dt.datetime) -> Answer:
    """Record pieces bought elsewhere for a line of the kit.

    Refused, with the field, are: a line of another kit, no pieces, no shop named; on a critical line or a
    graded fastener no part number, no grade, or another grade than the kit's without a note on who said so.
    """
    price = None if bought.price_each is None else str(bought.price_each)
    payload = {"kit_line": line.part_number, **asdict(bought), "price_each": price}
    return enter(
        order,
        "local_purchase",
        payload,
        signed=signed,
        now=now,
        handle=lambda entry: _record(order, line, bought, entry, now),
    )


def _record(
    order: KitOrder, line: KitLine, bought: Bought, entry: Entry, now: dt.datetime
) -> Mapping[str, Any]:
    _check(order, line, bought)
    row = LocalPurchase.objects.create(
        order=order,
        kit_line=line,
        **asdict(bought),
        bought_by_id=entry.signer_id,
        bought_at=now,
        entry=entry,
    )
    data = {"part_number": line.part_number, "quantity": bought.quantity}
    append(stream=order.stream, kind="kit.bought_locally", data=data, now=now, entry=entry, rows=[row])
    stands = next(one for one in reconcile(order).lines if one.kit_line_id == line.pk)
    return {"part_number": line.part_number, "quantity": bought.quantity, "short": stands.short}


def _check(order: KitOrder, line: KitLine, bought: Bought) -> None:
    if line.revision_id != order.kit_revision_id:
        raise Refused(_("%(part)s is not in the kit of this order.") % {"part": line.part_number})
    if not 0 < bought.quantity <= MOST_PIECES:
        message = _("Say how many pieces were bought: 1 to %(most)d.") % {"most": MOST_PIECES}
        raise Refused(message, data={"field": "quantity"})
    if not bought.bought_from:
        raise Refused(_("Say where it was bought."), data={"field": "bought_from"})
    if must_say_which(line) and not bought.part_number:
        words = _(
            "Say the part number that was bought: the car depends on this part, and it shows on the papers."
        )
        raise Refused(words, data={"field": "part_number"})
    if line.grade and not bought.grade:
        words = _("Say the grade that was bought, as it is marked on the head; the kit has %(grade)s.")
        raise Refused(words % {"grade": line.grade}, data={"field": "grade"})
    if is_other_grade(line, bought.grade) and not bought.note:
        words = _("The kit has grade %(grade)s. Say in the note who decided that another one may be used.")
        raise Refused(words % {"grade": line.grade}, data={"field": "note"})


def is_other_grade(line: KitLine, grade: str) -> bool:
    """Whether a grade is named and is not the kit's."""
    return bool(line.grade and grade) and line.grade.casefold() != grade.casefold()

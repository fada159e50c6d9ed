"""Money on the short route's car: an estimate written at the desk, offered, answered."""

from decimal import Decimal
from typing import Any

from django.http import HttpResponse

from jobs.models import Estimate
from jobs.money.estimates import Line, Sheet, keep_draft, mark_of, offer
from shop.entries import Answer
from shop.models import ShopSettings, SignedHow
from tests.jobs.desk import Desk
from tests.jobs.small_route import SmallRoute

MONEY = "/jobs/1001/money/"
LINES = (
    Line("labour", "Take the front off", Decimal("2.50"), "h", Decimal("95.00"), "T10"),
    Line("parts", "Kit", Decimal(1), "kit", Decimal("4100.05")),
)


def taxed(percent: str = "8.25") -> ShopSettings:
    shop = ShopSettings.current()
    shop.tax_percent = Decimal(percent)
    shop.save()
    return shop


def offered(route: SmallRoute, *, deposit: str = "30", lines: tuple[Line, ...] = LINES) -> Estimate:
    """An estimate over 237.50 of labour and 4100.05 of taxed parts, offered to the customer."""
    by = route.people["wren"]
    sheet = Sheet(lines, "", Decimal(deposit))
    draft = keep_draft(route.job, sheet, seen=mark_of(route.job), by=by, now=route.now)
    offer(draft, by=by, now=route.now)
    return Estimate.objects.get(pk=draft.pk)


def answer(route: SmallRoute, issue: int, said: str = "yes", who: str = "wren", **more: Any) -> Answer:
    payload = {"estimate": str(issue), "answer": said, "given_by": "Test customer", "way": "typed_name"}
    return route.send("estimate_answer", f"estimate/{issue}", who, SignedHow.DESK, **{**payload, **more})


def ask_extra(route: SmallRoute, who: str = "lind", **more: Any) -> Answer:
    payload = {"text": "The rail is rusted through", "price": "800.00"}
    return route.send("extra_work", "extra_work", who, SignedHow.DESK, **{**payload, **more})


def sheet_post(*lines: tuple[str, ...], **more: str) -> dict[str, str]:
    """A form of lines as a browser posts it: kind, text, quantity, price."""
    posted = {"deposit": "30", "note": "", **more}
    for n, (kind, text, quantity, price) in enumerate(lines):
        posted |= {
            f"line-{n}-kind": kind,
            f"line-{n}-text": text,
            f"line-{n}-quantity": quantity,
            f"line-{n}-price": price,
            f"line-{n}-unit": "h",
            f"line-{n}-operation": "",
        }
    return posted


def text_of(answer: HttpResponse) -> str:
    return " ".join(answer.content.decode().split())


def page(route: SmallRoute, who: str = "wren") -> str:
    return " ".join(Desk(route, who).page(MONEY).split())

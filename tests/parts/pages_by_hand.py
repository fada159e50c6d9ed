"""Typing into the pages of the parts counter as a browser would send them."""

from typing import Any

from django.http import HttpResponse
from django.test import Client

from parts.models import KitOrder, ReceiptLine


def typed(page: Any, **fields: Any) -> dict[str, Any]:
    """The form as a page gives it, with fields typed."""
    form = page.context["form"]
    hidden = {name: form[name].value() for name in ("entry_id", "saw")}
    return {name: "" if value is None else str(value) for name, value in hidden.items()} | fields


def sent(client: Client, address: str, **fields: Any) -> HttpResponse:
    """Open a page, fill in its form, send it."""
    return client.post(address, typed(client.get(address), **fields))


def said(answer: HttpResponse, field: str) -> str:
    """What stands beside a field."""
    return " ".join(answer.context["form"].errors.get(field, []))  # type: ignore[attr-defined]


def words_of(client: Client, answer: HttpResponse) -> str:
    """The page to which an answer leads."""
    assert answer.status_code == 302, answer.content.decode()
    return client.get(answer["Location"]).content.decode()


def receipt_line(order: KitOrder, part: str) -> ReceiptLine:
    return ReceiptLine.objects.get(receipt__order=order, part_number=part)

"""Typing on a counting sheet as a browser would send it."""

from typing import Any

from django.http import HttpResponse
from django.test import Client
from django.urls import reverse

from parts.models import KitOrder


def address(order: KitOrder, slip: str = "") -> str:
    return reverse("parts:receive", args=[order.number]) + (f"?slip={slip}" if slip else "")


def blank(answer: Any) -> dict[str, str]:
    """The form as the page gives it, nothing typed."""
    initial = answer.context["entry"].initial
    return {"entry_id": str(initial["entry_id"]), "saw": str(initial["saw"] or "")}


def typed(answer: Any, **counts: Any) -> dict[str, str]:
    """The form with figures typed: `T1_100=1`, or with a dict for more fields of that part."""
    prefixes = {
        form.row.part_number.replace("-", "_"): form.prefix for form in answer.context["sheet"].counts
    }
    fields = blank(answer)
    for part, given in counts.items():
        for name, text in (given if isinstance(given, dict) else {"counted": given}).items():
            fields[f"{prefixes[part]}-{name}"] = str(text)
    return fields


def counted(client: Client, order: KitOrder, slip: str = "", **counts: Any) -> HttpResponse:
    at = address(order, slip)
    return client.post(at, typed(client.get(at), **counts))


def errors(answer: HttpResponse) -> str:
    return "\n".join(words for _id, words in answer.context["errors"])  # type: ignore[attr-defined]

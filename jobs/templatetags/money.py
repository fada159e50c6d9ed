"""`{{ amount|money }}`: 12,345.60; with the currency where it stands alone: `{{ amount|money:"USD" }}`."""

from decimal import Decimal
from typing import Any

from django import template

from jobs.money.amounts import MoneyRow, line_total, written

register = template.Library()


@register.filter
def money(amount: Any, currency: str = "") -> str:
    if not isinstance(amount, Decimal):
        return ""
    return f"{written(amount)} {currency}".rstrip()


@register.filter
def comes_to(row: MoneyRow) -> str:
    """What a line of an estimate or invoice comes to."""
    return written(line_total(row))


@register.filter
def plain(number: Any) -> str:
    """A quantity or percentage without the zeros that say nothing."""
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text

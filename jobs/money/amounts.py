"""Sums of money: exact, rounded half up to the cent, and read as people type them. Pure.

Each line is rounded once; the tax of a document is worked out once, on the sum of its taxed lines, and
rounded once. So a paper adds up as it stands, whoever adds it up.
"""

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Protocol

from django.utils.translation import gettext as _

CENT = Decimal("0.01")
HUNDRED = Decimal(100)
# What the columns hold: eight digits before the point for money, seven for quantities.
MOST_MONEY = Decimal("99999999.99")
MOST_QUANTITY = Decimal("9999999.99")
NUMBER = re.compile(r"-?(\d+|\d{1,3}(,\d{3})+)(\.\d+)?|-?\.\d+", re.ASCII)
LONGEST = 30


class AmountError(ValueError):
    """What was typed is no amount; `message` says why in the user's words."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


class MoneyRow(Protocol):
    """A line of an estimate or invoice."""

    @property
    def kind(self) -> str: ...

    @property
    def quantity(self) -> Decimal: ...

    @property
    def price_each(self) -> Decimal: ...


@dataclass(frozen=True)
class Totals:
    """What a document comes to. `net + tax == gross`, to the cent."""

    net: Decimal
    taxed: Decimal
    tax: Decimal

    @property
    def gross(self) -> Decimal:
        return self.net + self.tax


def half_up(amount: Decimal) -> Decimal:
    """Rounded to the cent; a tie goes away from zero."""
    return amount.quantize(CENT, ROUND_HALF_UP)


def line_total(row: MoneyRow) -> Decimal:
    return half_up(row.quantity * row.price_each)


def totals_of(rows: Iterable[MoneyRow], *, tax_percent: Decimal, taxed_kinds: Collection[str]) -> Totals:
    """The totals of lines under a rule of tax.

    >>> from types import SimpleNamespace as Row
    >>> rows = [Row(kind="parts", quantity=Decimal(3), price_each=Decimal("1.67")),
    ...         Row(kind="labour", quantity=Decimal(1), price_each=Decimal("95.00"))]
    >>> totals_of(rows, tax_percent=Decimal("8.25"), taxed_kinds=["parts"])
    Totals(net=Decimal('100.01'), taxed=Decimal('5.01'), tax=Decimal('0.41'))
    """
    net = taxed = Decimal("0.00")
    for row in rows:
        total = line_total(row)
        net += total
        if row.kind in taxed_kinds:
            taxed += total
    return Totals(net, taxed, percent_of(taxed, tax_percent))


def percent_of(amount: Decimal, percent: Decimal) -> Decimal:
    return half_up(amount * percent / HUNDRED)


def read_amount(text: str, *, most: Decimal = MOST_MONEY, signed: bool = False) -> Decimal:
    """Money or a quantity as somebody typed it: digits, a point, commas between thousands.

    Raises:
        AmountError: it is none, is below zero, has more than two decimals, or is beyond all measure.
    """
    given = text.strip()
    words = {"given": given[:LONGEST]}
    if not given:
        raise AmountError(_("Enter an amount"))
    bare = given.removeprefix("$").strip()
    if len(bare) > LONGEST or not NUMBER.fullmatch(bare):
        raise AmountError(_("“%(given)s” is no amount; write it like 1250.00") % words)
    amount = Decimal(bare.replace(",", ""))
    if amount < 0 and not signed:
        raise AmountError(_("“%(given)s” is below zero") % words)
    if amount != amount.quantize(CENT, ROUND_HALF_UP):
        raise AmountError(_("“%(given)s” has more than two places after the point") % words)
    if abs(amount) > most:
        raise AmountError(_("“%(given)s” is more than fits here") % words)
    return amount.quantize(CENT)


def written(amount: Decimal) -> str:
    """An amount as pages and papers show it: 12,345.60; a minus sign that is one."""
    return f"{half_up(amount):,.2f}".replace("-", "−")

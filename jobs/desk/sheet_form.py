"""Lines of an estimate or invoice as they are typed in the browser: a table, read whole."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from jobs.money.amounts import (
    HUNDRED,
    MOST_QUANTITY,
    AmountError,
    MoneyRow,
    Totals,
    half_up,
    read_amount,
    totals_of,
)
from jobs.money.estimates import MOST_LINES, Line, Sheet
from shop.models import TaxedKind

EMPTY_ROWS = 4
MOST_NOTE, MOST_NOTE_OF_INVOICE = 2000, 300
TEXT, UNIT, OPERATION = 200, 12, 20


@dataclass
class Row:
    """One line as it was typed, with what is wrong beside it."""

    number: int
    kind: str = TaxedKind.LABOUR
    operation: str = ""
    text: str = ""
    quantity: str = ""
    unit: str = ""
    price: str = ""
    is_out: bool = False
    errors: dict[str, str] = field(default_factory=dict)

    @property
    def is_empty(self) -> bool:
        return not (self.text or self.price) or self.is_out

    @property
    def line(self) -> Line | None:
        """The line that was meant; None, and `errors`, where it cannot be read."""
        quantity = self._amount("quantity", self.quantity, MOST_QUANTITY)
        price = self._amount("price", self.price, None)
        if not self.text:
            self.errors["text"] = _("Say what this line is for")
        for name, text, most in (("text", self.text, TEXT), ("unit", self.unit, UNIT)):
            if len(text) > most:
                self.errors[name] = _("At most %(most)d characters") % {"most": most}
        if self.kind not in TaxedKind.values:
            self.errors["kind"] = _("Choose what the line is for")
        if self.errors or quantity is None or price is None:
            return None
        return Line(self.kind, self.text, quantity, self.unit, price, self.operation[:OPERATION])

    def _amount(self, name: str, text: str, most: Decimal | None) -> Decimal | None:
        try:
            return read_amount(text, most=most) if most else read_amount(text)
        except AmountError as error:
            self.errors[name] = error.message
            return None

    @property
    def total(self) -> Decimal | None:
        """What the line comes to; None where that cannot be said."""
        try:
            return half_up(read_amount(self.quantity, most=MOST_QUANTITY) * read_amount(self.price))
        except AmountError:
            return None


@dataclass
class SheetForm:
    """All lines with what goes for the whole: the note, the deposit, what its sender had seen."""

    rows: list[Row]
    seen: str
    note: str = ""
    deposit: str = ""
    asks_deposit: bool = True
    errors: dict[str, str] = field(default_factory=dict)

    @classmethod
    def of(
        cls, lines: Iterable[Any], *, seen: str, note: str = "", deposit: Decimal | None = None
    ) -> "SheetForm":
        """A form that shows these lines, and a few empty ones after them."""
        rows = [
            Row(
                number,
                line.kind,
                line.operation,
                line.text,
                _plain(line.quantity),
                line.unit,
                f"{line.price_each:.2f}",
            )
            for number, line in enumerate(lines)
        ]
        form = cls(rows, seen, note, _plain(deposit) if deposit is not None else "", deposit is not None)
        form._add_empty()
        return form

    @classmethod
    def posted(cls, posted: Mapping[str, str], *, asks_deposit: bool = True) -> "SheetForm":
        """The form as it came back."""
        rows = [_posted_row(posted, number) for number in range(MOST_LINES + 1) if _is_there(posted, number)]
        note, deposit = posted.get("note", "").strip(), posted.get("deposit", "").strip()
        form = cls(rows, posted.get("seen", ""), note, deposit, asks_deposit)
        form._check()
        return form

    def _add_empty(self) -> None:
        next_number = max((row.number for row in self.rows), default=-1) + 1
        more = min(EMPTY_ROWS, MOST_LINES - len(self.rows))
        kinds = [TaxedKind.LABOUR, TaxedKind.PARTS, TaxedKind.CONSUMABLES, TaxedKind.SUBLET]
        self.rows += [Row(next_number + n, kind=kind) for n, kind in enumerate(kinds[: max(0, more)])]

    def _check(self) -> None:
        self.lines = [line for row in self.rows if not row.is_empty and (line := row.line) is not None]
        if len(self.rows) > MOST_LINES:
            self.errors["lines"] = _("At most %(most)d lines") % {"most": MOST_LINES}
        most = MOST_NOTE if self.asks_deposit else MOST_NOTE_OF_INVOICE
        if len(self.note) > most:
            self.errors["note"] = _("At most %(most)d characters") % {"most": most}
        self.deposit_percent = Decimal(0)
        if self.asks_deposit:
            try:
                self.deposit_percent = read_amount(self.deposit or "0", most=HUNDRED)
            except AmountError as error:
                self.errors["deposit"] = error.message

    lines: list[Line] = field(default_factory=list)
    deposit_percent: Decimal = Decimal(0)

    @property
    def is_valid(self) -> bool:
        return not self.errors and not any(row.errors for row in self.rows)

    def require_prices(self) -> None:
        """What is offered to a customer has a price: a line begun for them that nobody priced is told."""
        for row in self.rows:
            if not row.is_empty and not row.errors and row.total == 0:
                row.errors["price"] = _("There is no price yet; write one, or leave the line out")

    @property
    def told(self) -> list[tuple[str, str]]:
        """Everything that is wrong, each with the field that it is wrong with."""
        found = [(name, message) for name, message in self.errors.items()]
        return [*found, *(told for row in self.rows for told in _told(row))]

    @property
    def sheet(self) -> Sheet:
        return Sheet(tuple(self.lines), self.note, self.deposit_percent)

    def totals(self, *, tax_percent: Decimal, taxed_kinds: Iterable[str]) -> Totals:
        """What the lines come to that can be read."""
        readable: list[MoneyRow] = [
            Line(row.kind, row.text, Decimal(1), "", total)
            for row in self.rows
            if not row.is_empty and (total := row.total) is not None
        ]
        return totals_of(readable, tax_percent=tax_percent, taxed_kinds=list(taxed_kinds))


def _told(row: Row) -> Iterator[tuple[str, str]]:
    for name, message in row.errors.items():
        words = {"n": row.number + 1, "message": message}
        yield f"line-{row.number}-{name}", _("Line %(n)d: %(message)s") % words


def _is_there(posted: Mapping[str, str], number: int) -> bool:
    return f"line-{number}-text" in posted


def _posted_row(posted: Mapping[str, str], number: int) -> Row:
    def given(name: str) -> str:
        # A null character cannot be stored, and no keyboard makes one.
        return posted.get(f"line-{number}-{name}", "").replace("\0", "").strip()

    return Row(
        number,
        given("kind"),
        given("operation"),
        given("text"),
        given("quantity"),
        given("unit"),
        given("price"),
        is_out=bool(given("out")),
    )


def _plain(number: Decimal) -> str:
    """A number without the zeros that say nothing: 2.50 as 2.5."""
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text

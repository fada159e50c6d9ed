"""Reading the cells of one row, keeping every error beside its line and column."""

import datetime as dt
import re
from collections.abc import Sequence
from decimal import Decimal

from django.utils.translation import gettext as _

from parts.counts import CountError, read_count
from shop.csv_files import Row
from shop.file_errors import FileError

CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
OPERATION = re.compile(r"[A-Z]+[0-9]+")
AMOUNT = re.compile(r"[0-9]{1,8}([.][0-9]{1,2})?")
RELATIVE_DAY = re.compile(r"day([+-][0-9]{1,4})?")


class Cells:
    """The cells of a row. What cannot be read goes to `errors`, and reading goes on."""

    def __init__(self, row: Row, errors: list[FileError]) -> None:
        self.row = row
        self.errors = errors

    def refuse(self, name: str, message: str) -> None:
        self.errors.append(FileError(self.row.line, name, message))

    def text(self, name: str, *, most: int, needed: bool = True) -> str:
        cell = self.row.cells[name]
        if needed and not cell:
            self.refuse(name, _("This is missing."))
        elif len(cell) > most:
            self.refuse(name, _("This is longer than %(most)d characters.") % {"most": most})
        return cell

    def code(self, name: str, *, most: int) -> str:
        """A code that is part of an address: letters, digits, point, dash."""
        cell = self.text(name, most=most)
        if cell and not CODE.fullmatch(cell):
            self.refuse(name, _("Only letters, digits, points and dashes, such as KIT-210."))
        return cell

    def operation(self, name: str) -> str:
        cell = self.text(name, most=20)
        if cell and not OPERATION.fullmatch(cell):
            self.refuse(name, _("An operation's code is a capital letter and a number, such as A30."))
        return cell

    def count(self, name: str, *, at_least: int = 0, blank: int | None = None) -> int:
        cell = self.row.cells[name]
        if not cell and blank is not None:
            return blank
        try:
            return read_count(cell, at_least=at_least)
        except CountError as error:
            self.refuse(name, error.message)
            return at_least

    def amount(self, name: str) -> Decimal | None:
        """An amount of money with at most two places, or nothing."""
        cell = self.row.cells[name]
        if not cell:
            return None
        if not AMOUNT.fullmatch(cell):
            self.refuse(
                name, _("Write the cost of one piece as an amount, such as 12.50, or leave it empty.")
            )
            return None
        return Decimal(cell).quantize(Decimal("0.01"))

    def yes_no(self, name: str) -> bool:
        cell = self.row.cells[name].lower()
        if cell not in ("yes", "no"):
            self.refuse(name, _("Say yes or no."))
        return cell == "yes"

    def one_of(self, name: str, words: Sequence[str]) -> str:
        cell = self.row.cells[name].lower()
        if cell and cell not in words:
            self.refuse(name, _("Say one of: %(words)s; or leave it empty.") % {"words": ", ".join(words)})
        return cell

    def day(self, name: str, *, needed: bool, today: dt.date | None) -> dt.date | None:
        """A date; where `today` is given also `day`, `day+3`, `day-2`, counted from it."""
        cell = self.text(name, most=20, needed=needed)
        if not cell:
            return None
        relative = RELATIVE_DAY.fullmatch(cell) if today is not None else None
        if today is not None and relative:
            return today + dt.timedelta(days=int(relative[1] or 0))
        try:
            if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", cell):
                raise ValueError(cell)
            return dt.date.fromisoformat(cell)
        except ValueError:
            self.refuse(name, _("Write the date as year-month-day, such as 2030-04-28."))
            return None


def differing(rows: Sequence[Row], names: Sequence[str]) -> list[FileError]:
    """The rows that do not repeat what the first row says in these columns."""
    return [
        FileError(
            row.line,
            name,
            _("This row says %(here)s, the first row %(first)s; a file holds one of them.")
            % {"here": row.cells[name] or _("nothing"), "first": rows[0].cells[name] or _("nothing")},
        )
        for row in rows[1:]
        for name in names
        if row.cells[name] != rows[0].cells[name]
    ]


def repeated(rows: Sequence[Row], name: str) -> list[FileError]:
    """The rows that say in this column what an earlier row has said."""
    first_line: dict[str, int] = {}
    errors = []
    for row in rows:
        cell = row.cells[name]
        if cell and cell in first_line:
            message = _("%(cell)s is already on line %(line)d.") % {"cell": cell, "line": first_line[cell]}
            errors.append(FileError(row.line, name, message))
        first_line.setdefault(cell, row.line)
    return errors


def in_order(errors: Sequence[FileError]) -> list[FileError]:
    """Errors as the eye goes through the file."""
    return sorted(errors, key=lambda error: error.line or 0)

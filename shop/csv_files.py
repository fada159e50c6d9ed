"""Reading and writing the CSV files that a shop gets and gives.

Read: UTF-8 with or without byte order mark, else Windows-1252; comma, semicolon or tab (cells pasted from
a spreadsheet). Written: UTF-8, comma, one line feed a row. A cell that a spreadsheet would take for a
formula gets an apostrophe in front when written, and loses it when read.
"""

import csv
import io
import re
import unicodedata
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from shop.file_errors import FileError, FileErrors

MOST_BYTES = 2 * 1024 * 1024
MOST_ROWS = 2_000
DELIMITERS = ",;\t"
FORMULA = re.compile(r"'*[=+\-@]")
GUARDED = re.compile(r"'+[=+\-@]")


@dataclass(frozen=True)
class Row:
    """One row of a file: every column's cell, without the blanks around it. A row out of shape is none."""

    line: int
    cells: Mapping[str, str]


@dataclass(frozen=True)
class Sheet:
    """A file as read: its rows, and what was wrong with their shape."""

    rows: tuple[Row, ...]
    errors: tuple[FileError, ...]


def read_sheet(content: bytes, columns: Sequence[str], *, optional: Collection[str] = ()) -> Sheet:
    """Read a file that has exactly these columns, in any order; those that came later may be missing.

    Raises:
        FileErrors: where no row can be read: not text, no header, columns unknown, missing or twice.
    """
    text = _decode(content)
    records = _Records(text, _delimiter(text, columns))
    errors: list[FileError] = []
    rows: list[Row] = []
    header: list[str] = []
    width = 0
    try:
        for line, cells in records:
            if not any(cells):
                continue
            if not header:
                header, width = _header(line, cells, columns, optional), len(cells)
                continue
            if len(rows) >= MOST_ROWS:
                errors.append(
                    FileError(line, "", _("There are more than %(most)d rows.") % {"most": MOST_ROWS})
                )
                break
            wrong = list(_shape_errors(line, cells, header, width))
            errors += wrong
            if not wrong:
                rows.append(Row(line, dict(zip(header, cells, strict=False))))
    except csv.Error:
        message = _(
            "A quotation mark opens here and is not closed, or something stands after one that closes."
        )
        errors.append(FileError(records.line, "", message))
    if not header and not errors:
        raise _refuse(_("There is nothing in it."))
    return Sheet(tuple(rows), tuple(errors))


def write_sheet(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """The file of these rows: what `read_sheet` reads back without loss."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow([guard(cell) for cell in row])
    return out.getvalue().encode()


def guard(cell: str) -> str:
    """Keep a spreadsheet from taking a cell for a formula."""
    return f"'{cell}" if FORMULA.match(cell) else cell


def unguard(cell: str) -> str:
    """Take back what `guard` did."""
    return cell[1:] if GUARDED.match(cell) else cell


class _Records(Iterator[tuple[int, list[str]]]):
    """The records of a file, each with the line on which it begins."""

    def __init__(self, text: str, delimiter: str) -> None:
        self.reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
        self.line = 1

    def __next__(self) -> tuple[int, list[str]]:
        self.line = self.reader.line_num + 1
        return self.line, [unguard(cell.strip()) for cell in next(self.reader)]


def _refuse(message: str) -> FileErrors:
    return FileErrors([FileError(None, "", message)])


def _decode(content: bytes) -> str:
    if len(content) > MOST_BYTES:
        raise _refuse(_("It is larger than 2 MB, too large for such a list."))
    if content.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise _refuse(_("This is a spreadsheet's own file. Save it as CSV and bring that in."))
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _refuse(_("It was saved as UTF-16. Save it as CSV UTF-8 and bring that in."))
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" in text:
            break
        return text
    raise _refuse(_("It is not a text file. Save the list as CSV UTF-8 and bring that in."))


def _delimiter(text: str, columns: Sequence[str]) -> str:
    """The delimiter under which the header has the most of the names that it should have."""
    first = next((line for line in text.splitlines() if line.strip(f' {DELIMITERS}"')), "")

    def known(delimiter: str) -> int:
        return len({name.strip().strip('"').lower() for name in first.split(delimiter)} & set(columns))

    return max(DELIMITERS, key=known)


def _header(line: int, cells: list[str], columns: Sequence[str], optional: Collection[str]) -> list[str]:
    names = [cell.lower() for cell in cells]
    while names and not names[-1]:
        names.pop()
    errors = []
    for at, name in enumerate(names):
        if not name:
            errors.append(FileError(line, "", _("Column %(number)d has no name.") % {"number": at + 1}))
        elif name not in columns:
            message = _("This column is not known. The columns are: %(names)s.") % {
                "names": ", ".join(columns)
            }
            errors.append(FileError(line, cells[at], message))
        elif name in names[:at]:
            errors.append(FileError(line, name, _("This column is there twice.")))
    missing = [name for name in columns if name not in names and name not in optional]
    errors += [FileError(line, name, _("This column is missing.")) for name in missing]
    if errors:
        raise FileErrors(errors)
    return names


def _shape_errors(line: int, cells: list[str], header: list[str], width: int) -> Iterator[FileError]:
    if len(cells) > width or any(cells[len(header) :]):
        counts = {"found": len(cells), "named": len(header)}
        message = _("There are %(found)d cells, but %(named)d columns. Is a text with a comma not in quotes?")
        yield FileError(line, "", message % counts)
    elif len(cells) < len(header):
        missing = ", ".join(header[len(cells) :])
        yield FileError(line, "", _("The row ends too early; missing: %(names)s.") % {"names": missing})
    for name, cell in zip(header, cells, strict=False):
        if any(unicodedata.category(sign) == "Cc" for sign in cell):
            yield FileError(line, name, _("There is a line break or a control character in the text."))

"""Packing slips as CSV files: what a file says, read whole and written again without loss."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from parts.models import PackingSlip
from parts.sheet_cells import Cells, differing, in_order, repeated
from shop.csv_files import Row, read_sheet, write_sheet
from shop.file_errors import FileError, FileErrors

HEAD = ("order", "slip", "carrier", "dated")
COLUMNS = (*HEAD, "part_number", "description", "slipped", "backordered", "eta")


@dataclass(frozen=True)
class SlipSheetLine:
    part_number: str
    description: str
    slipped: int
    backordered: int
    eta: dt.date | None


@dataclass(frozen=True)
class SlipSheet:
    """One packing slip of one kit order, as a file holds it."""

    order: str
    slip: str
    carrier: str
    dated: dt.date
    lines: tuple[SlipSheetLine, ...]


def read_slip(content: bytes, *, today: dt.date | None = None) -> SlipSheet:
    """Read a packing slip whole.

    Args:
        content: the file.
        today: where given, dates may also be written `day+3`, counted from it.

    Raises:
        FileErrors: with every error in it.
    """
    sheet = read_sheet(content, COLUMNS)
    errors = list(sheet.errors)
    if not sheet.rows:
        raise FileErrors(errors or [FileError(None, "", _("Below the column names there is no row."))])
    head = Cells(sheet.rows[0], errors)
    order = head.code("order", most=20)
    slip = head.text("slip", most=40)
    carrier = head.text("carrier", most=60, needed=False)
    dated = head.day("dated", needed=True, today=today)
    errors += differing(sheet.rows, HEAD) + repeated(sheet.rows, "part_number")
    lines = tuple(_line(row, errors, today) for row in sheet.rows)
    if errors or dated is None:
        raise FileErrors(in_order(errors))
    return SlipSheet(order, slip, carrier, dated, lines)


def write_slip(sheet: SlipSheet) -> bytes:
    """The file of a slip, in the one form that `read_slip` reads back as the same."""
    return write_sheet(COLUMNS, [_cells(sheet, line) for line in sheet.lines])


def slip_sheet(slip: PackingSlip) -> SlipSheet:
    """What a slip in the shop's record says, as a file would hold it."""
    lines = tuple(
        SlipSheetLine(line.part_number, line.description, line.slipped, line.backordered, line.eta)
        for line in slip.lines.order_by("pk")
    )
    return SlipSheet(slip.order.number, slip.number, slip.carrier, slip.dated_on, lines)


def _line(row: Row, errors: list[FileError], today: dt.date | None) -> SlipSheetLine:
    cells = Cells(row, errors)
    return SlipSheetLine(
        part_number=cells.text("part_number", most=40),
        description=cells.text("description", most=160, needed=False),
        slipped=cells.count("slipped"),
        backordered=cells.count("backordered", blank=0),
        eta=cells.day("eta", needed=False, today=today),
    )


def _cells(sheet: SlipSheet, line: SlipSheetLine) -> Sequence[str]:
    return (
        *(sheet.order, sheet.slip, sheet.carrier, sheet.dated.isoformat()),
        *(line.part_number, line.description, str(line.slipped), str(line.backordered)),
        line.eta.isoformat() if line.eta else "",
    )

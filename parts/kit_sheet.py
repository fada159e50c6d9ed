"""Kits as CSV files: what a file says, read whole and written again without loss."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from django.utils.translation import gettext as _

from parts.models import KitLine, KitRevision, Side
from parts.sheet_cells import Cells, differing, in_order, repeated
from shop.csv_files import Row, read_sheet, write_sheet
from shop.file_errors import FileError, FileErrors

HEAD = ("kit", "revision", "kit_name", "supplier")
COLUMNS = (
    *HEAD,
    *("part_number", "description", "quantity", "side", "operation", "critical", "substitutes"),
    *("thread", "grade", "length", "finish"),
)
# A file from before it was known does not have it; one that has it says what every line costs, or nothing.
COST = "unit_cost"
EVERY_COLUMN = (*COLUMNS, COST)
SIDES = tuple(side for side in Side.values if side)


@dataclass(frozen=True)
class KitSheetLine:
    part_number: str
    description: str
    quantity: int
    side: str
    operation: str
    is_critical: bool
    substitutes: tuple[str, ...]
    thread: str
    grade: str
    length: str
    finish: str
    unit_cost: Decimal | None = None


@dataclass(frozen=True)
class KitSheet:
    """One revision of one kit, as a file holds it. `says_costs`: it has the column, be it empty."""

    kit: str
    revision: str
    kit_name: str
    supplier: str
    lines: tuple[KitSheetLine, ...]
    says_costs: bool = field(default=True, compare=False)

    def with_costs_of(self, known: "KitSheet") -> "KitSheet":
        """A file without the column says nothing about costs: those that are known stay, by part number."""
        if self.says_costs:
            return self
        costs = {line.part_number: line.unit_cost for line in known.lines}
        lines = (replace(line, unit_cost=costs.get(line.part_number)) for line in self.lines)
        return replace(self, lines=tuple(lines))


def read_kit(content: bytes) -> KitSheet:
    """Read a kit file whole.

    Raises:
        FileErrors: with every error in it.
    """
    sheet = read_sheet(content, EVERY_COLUMN, optional=(COST,))
    errors = list(sheet.errors)
    if not sheet.rows:
        raise FileErrors(errors or [FileError(None, "", _("Below the column names there is no row."))])
    head = Cells(sheet.rows[0], errors)
    kit = head.code("kit", most=30)
    revision = head.code("revision", most=10)
    kit_name = head.text("kit_name", most=120)
    supplier = head.text("supplier", most=80)
    errors += differing(sheet.rows, HEAD) + repeated(sheet.rows, "part_number")
    lines = tuple(_line(row, errors) for row in sheet.rows)
    if errors:
        raise FileErrors(in_order(errors))
    return KitSheet(kit, revision, kit_name, supplier, lines, says_costs=COST in sheet.rows[0].cells)


def write_kit(sheet: KitSheet) -> bytes:
    """The file of a kit, in the one form that `read_kit` reads back as the same."""
    known = any(line.unit_cost is not None for line in sheet.lines)
    columns = EVERY_COLUMN if known else COLUMNS
    return write_sheet(columns, [_cells(sheet, line)[: len(columns)] for line in sheet.lines])


def kit_sheet(revision: KitRevision) -> KitSheet:
    """What a revision in the shop's record says, as a file would hold it."""
    return kit_sheets([revision])[revision.pk]


def kit_sheets(revisions: Iterable[KitRevision]) -> dict[int, KitSheet]:
    """The same of several revisions by their keys; their lines in one query."""
    of = {revision.pk: revision for revision in revisions}
    lines: dict[int, list[KitSheetLine]] = defaultdict(list)
    for line in KitLine.objects.filter(revision__in=of).order_by("revision", "position"):
        lines[line.revision_id].append(_sheet_line(line))
    return {
        pk: KitSheet(one.kit.code, one.revision, one.kit.name, one.kit.supplier.name, tuple(lines[pk]))
        for pk, one in of.items()
    }


def _sheet_line(line: KitLine) -> KitSheetLine:
    return KitSheetLine(
        part_number=line.part_number,
        description=line.description,
        quantity=line.quantity,
        side=line.side,
        operation=line.operation,
        is_critical=line.is_critical,
        substitutes=tuple(line.substitutes),
        thread=line.thread,
        grade=line.grade,
        length=line.length,
        finish=line.finish,
        unit_cost=line.unit_cost,
    )


def _line(row: Row, errors: list[FileError]) -> KitSheetLine:
    cells = Cells(row, errors)
    return KitSheetLine(
        part_number=cells.text("part_number", most=40),
        description=cells.text("description", most=160),
        quantity=cells.count("quantity", at_least=1),
        side=cells.one_of("side", SIDES),
        operation=cells.operation("operation"),
        is_critical=cells.yes_no("critical"),
        substitutes=_substitutes(cells),
        thread=cells.text("thread", most=30, needed=False),
        grade=cells.text("grade", most=30, needed=False),
        length=cells.text("length", most=30, needed=False),
        finish=cells.text("finish", most=40, needed=False),
        unit_cost=cells.amount(COST) if COST in row.cells else None,
    )


def _substitutes(cells: Cells) -> tuple[str, ...]:
    cell = cells.row.cells["substitutes"]
    if not cell:
        return ()
    found = tuple(part.strip() for part in cell.split(";"))
    if not all(found):
        cells.refuse("substitutes", _("A part number is missing beside a semicolon."))
    if any(len(part) > 40 for part in found):
        cells.refuse("substitutes", _("A part number is longer than %(most)d characters.") % {"most": 40})
    if len(set(found)) < len(found):
        cells.refuse("substitutes", _("A part number is there twice."))
    if cells.row.cells["part_number"] in found:
        cells.refuse("substitutes", _("A part cannot stand in for itself."))
    return found


def _cells(sheet: KitSheet, line: KitSheetLine) -> Sequence[str]:
    return (
        *(sheet.kit, sheet.revision, sheet.kit_name, sheet.supplier),
        *(line.part_number, line.description, str(line.quantity), line.side, line.operation),
        "yes" if line.is_critical else "no",
        ";".join(line.substitutes),
        *(line.thread, line.grade, line.length, line.finish),
        "" if line.unit_cost is None else f"{line.unit_cost:.2f}",
    )

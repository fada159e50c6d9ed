"""A table as a file: CSV for spreadsheets, YAML for people and programs. Each reads back as what was written.

In YAML a table is a list under its name, beside `format: 1`; every value is text. It is read through the same
checks as CSV: only the lines that are named are those of the YAML file.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import yaml
from django.utils.translation import gettext as _

from jobs.procedures.yaml_text import Listing, Table, Text, read_yaml
from shop.csv_files import Row, read_sheet, write_sheet
from shop.file_errors import FileError, FileErrors

FORMAT = "1"
MOST_ROWS = 2_000
Cells = Mapping[str, str]


@dataclass(frozen=True)
class Columns:
    """What a table's file is called and holds. Texts of several lines stand in `long` columns.

    `later` columns came after the first version: a file without them says nothing about them.
    """

    name: str
    names: tuple[str, ...]
    long: frozenset[str] = frozenset()
    later: frozenset[str] = frozenset()


def written_csv(columns: Columns, rows: Iterable[Cells]) -> bytes:
    """The table for a spreadsheet; nothing in it is taken for a formula."""
    return write_sheet(
        columns.names, ([_flat(columns, name, row[name]) for name in columns.names] for row in rows)
    )


def written_yaml(columns: Columns, rows: Iterable[Cells]) -> bytes:
    """The table as YAML; empty cells are left out."""
    listed = [{name: row[name] for name in columns.names if row[name]} for row in rows]
    root = {"format": FORMAT, columns.name: listed}
    text: str = yaml.dump(root, Dumper=_Quoted, sort_keys=False, allow_unicode=True, width=10_000)
    return text.encode()


def read_rows(columns: Columns, content: bytes) -> tuple[tuple[Row, ...], tuple[FileError, ...]]:
    """The rows of a file, whichever of the two it is, and what is wrong with their shape.

    Raises:
        FileErrors: where no row can be read.
    """
    if _is_yaml(content):
        return _from_yaml(columns, content)
    sheet = read_sheet(content, columns.names, optional=columns.later)
    return tuple(replace(row, cells=_unfolded(columns, row.cells)) for row in sheet.rows), sheet.errors


class _Quoted(yaml.SafeDumper):
    """Every value in quotes, so that none is taken for a number, a date or a yes."""

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:
        super().increase_indent(flow, False)


_Quoted.add_representer(
    str, lambda dumper, text: dumper.represent_scalar("tag:yaml.org,2002:str", text, style='"')
)


def _flat(columns: Columns, name: str, text: str) -> str:
    """Line breaks of a long text as `\\n`, so that a row stays a line."""
    if name not in columns.long:
        return text
    folded = text.replace("\\", "\\\\").replace("\r\n", "\n")
    return folded.replace("\n", "\\n").replace("\t", "\\t")


def _unfolded(columns: Columns, cells: Cells) -> dict[str, str]:
    return {name: _unflat(text) if name in columns.long else text for name, text in cells.items()}


def _unflat(text: str) -> str:
    parts = text.split("\\\\")
    return "\\".join(part.replace("\\n", "\n").replace("\\t", "\t") for part in parts)


def _is_yaml(content: bytes) -> bool:
    """Whether a file begins as our YAML does; no column of ours is called `format:`."""
    beginning = content[:400].removeprefix(b"\xef\xbb\xbf").decode("utf-8", errors="replace")
    lines = (line.strip() for line in beginning.splitlines())
    first = next((line for line in lines if line and not line.startswith(("#", "---"))), "")
    key, colon, _value = first.replace('"', "").partition(":")
    return bool(colon) and key.strip().replace("_", "").isalpha() and "," not in key and ";" not in key


def _from_yaml(columns: Columns, content: bytes) -> tuple[tuple[Row, ...], tuple[FileError, ...]]:
    root = read_yaml(_as_utf8(content))
    errors = list(_wrong_root(columns, root))
    listed = root.values.get(columns.name)
    if errors or not isinstance(listed, Listing):
        raise FileErrors(errors or [FileError(root.line, columns.name, _("is no list"))])
    rows = []
    for node in listed.items[:MOST_ROWS]:
        wrong = list(_wrong_row(columns, node))
        errors += wrong
        if not wrong and isinstance(node, Table):
            rows.append(Row(node.line, {name: _cell(columns, node, name) for name in columns.names}))
    if len(listed.items) > MOST_ROWS:
        message = _("There are more than %(most)d rows.") % {"most": MOST_ROWS}
        errors.append(FileError(listed.items[MOST_ROWS].line, "", message))
    return tuple(rows), tuple(errors)


def _as_utf8(content: bytes) -> bytes:
    """A file that is not UTF-8 is read as Windows-1252, as a spreadsheet program saves it."""
    try:
        content.decode("utf-8-sig")
    except UnicodeDecodeError:
        try:
            return content.decode("cp1252").encode()
        except UnicodeDecodeError:
            return content
    return content


def _cell(columns: Columns, row: Table, name: str) -> str:
    node = row.values.get(name)
    return node.value.strip() if isinstance(node, Text) else ""


def _wrong_root(columns: Columns, root: Table) -> Iterator[FileError]:
    found = root.values.get("format")
    if not isinstance(found, Text) or found.value != FORMAT:
        yield FileError(root.line, "format", _("The file must begin with format: 1."))
    for name in root.values:
        if name not in {"format", columns.name}:
            message = _("This is not known here; the rows stand under “%(name)s”.") % {"name": columns.name}
            yield FileError(root.key_lines[name], name, message)
    if columns.name not in root.values:
        message = _("The rows are missing; they stand under “%(name)s”.") % {"name": columns.name}
        yield FileError(root.line, columns.name, message)


def _wrong_row(columns: Columns, node: object) -> Iterator[FileError]:
    if not isinstance(node, Table):
        line = getattr(node, "line", None)
        yield FileError(line, "", _("Each row is a list of names with their values."))
        return
    for name, value in node.values.items():
        line = node.key_lines[name]
        if name not in columns.names:
            known = ", ".join(columns.names)
            yield FileError(
                line, name, _("This column is not known. The columns are: %(names)s.") % {"names": known}
            )
        elif not isinstance(value, Text):
            yield FileError(line, name, _("This must be a text, not a list."))
        elif name not in columns.long and "\n" in value.value.strip():
            yield FileError(line, name, _("There is a line break or a control character in the text."))


def csv_of(columns: Sequence[str], rows: Iterable[Cells]) -> bytes:
    """Some rows as a file of their own, for what reads whole files."""
    return write_sheet(columns, ([row[name] for name in columns] for row in rows))

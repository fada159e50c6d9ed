"""Lists as spreadsheets write them, and as they read them."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.csv_files import FORMULA, guard, read_sheet, unguard, write_sheet
from shop.file_errors import FileErrors

COLUMNS = ("part", "text", "finish")
TEXT = st.text("aZ09 ½Ø時=+-@'\",;.", max_size=12).map(str.strip)


def cells_of(content: bytes) -> list[tuple[str, ...]]:
    sheet = read_sheet(content, COLUMNS)
    assert not sheet.errors
    return [tuple(row.cells[name] for name in COLUMNS) for row in sheet.rows]


def refusal(content: bytes) -> list[str]:
    with pytest.raises(FileErrors) as caught:
        read_sheet(content, COLUMNS)
    return [str(error) for error in caught.value.errors]


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252"])
def test_reads_what_spreadsheets_write(delimiter: str, ending: str, encoding: str) -> None:
    lines = ["part;text;finish", "P-1;Ø ½ in sleeve;zinc", ";;", "P-2;Bracket;"]
    content = ending.join(line.replace(";", delimiter) for line in lines).encode(encoding)
    assert cells_of(content) == [("P-1", "Ø ½ in sleeve", "zinc"), ("P-2", "Bracket", "")]


def test_columns_in_any_order_and_case() -> None:
    assert cells_of(b" Finish ,PART,Text\nzinc,P-1,Sleeve\n") == [("P-1", "Sleeve", "zinc")]


def test_quotes_and_inch_marks() -> None:
    content = b'part,text,finish\nP-1,1/2" bolt,\nP-2,"one, two; ""three""",\n'
    assert [cells[1] for cells in cells_of(content)] == ['1/2" bolt', 'one, two; "three"']


def test_line_numbers_are_those_of_the_file() -> None:
    sheet = read_sheet(b'part,text,finish\n\nP-1,"two\nlines",\nP-2,x,\n', COLUMNS)
    assert [row.line for row in sheet.rows] == [5]
    assert [(error.line, error.name) for error in sheet.errors] == [(3, "text")]


def test_every_fault_of_the_header_is_named() -> None:
    errors = refusal(b"part,colour,part\nP-1,red,P-1\n")
    assert len(errors) == 4
    assert errors[0].startswith("line 1, colour: This column is not known.")
    assert errors[1] == "line 1, part: This column is there twice."
    assert errors[2] == "line 1, text: This column is missing."
    assert errors[3] == "line 1, finish: This column is missing."


def test_rows_too_long_and_too_short() -> None:
    sheet = read_sheet(b"part,text,finish,\nP-1,a,b,c\nP-2,a\nP-3,a,b,\nP-4,a,b\n", COLUMNS)
    assert [error.line for error in sheet.errors] == [2, 3]
    assert [row.line for row in sheet.rows] == [4, 5]
    assert "4 cells, but 3 columns" in sheet.errors[0].message
    assert "missing: finish" in sheet.errors[1].message


def test_a_quotation_mark_left_open() -> None:
    sheet = read_sheet(b'part,text,finish\nP-1,a,b\nP-2,"open,b\nP-3,a,b\n', COLUMNS)
    assert [error.line for error in sheet.errors] == [3]
    assert "not closed" in sheet.errors[0].message


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "nothing in it"),
        (b"\n\n , ,\n", "nothing in it"),
        (b"PK\x03\x04rest", "spreadsheet's own file"),
        ("part,text,finish".encode("utf-16"), "UTF-16"),
        (b"part\x00text", "not a text file"),
        (b"part,\x81\x8d\xff", "not a text file"),
        (b"part," * 500_000, "larger than 2 MB"),
    ],
)
def test_what_is_no_list_is_refused(content: bytes, words: str) -> None:
    assert words in refusal(content)[0]


def test_more_rows_than_a_kit_could_have() -> None:
    sheet = read_sheet(b"part,text,finish\n" + b"P-1,a,b\n" * 2_001, COLUMNS)
    assert [error.line for error in sheet.errors] == [2_002]


@pytest.mark.parametrize("cell", ["=1+1", "+5", "-6 AN", "@SUM(A1)", "'=already", "''-twice"])
def test_no_cell_is_written_as_a_formula(cell: str) -> None:
    content = write_sheet(COLUMNS, [("P-1", cell, "")])
    written = list(csv.reader(io.StringIO(content.decode())))[1][1]
    assert written == f"'{cell}"
    assert cells_of(content) == [("P-1", cell, "")]


@given(TEXT)
def test_guard_inverts(cell: str) -> None:
    assert unguard(guard(cell)) == cell
    assert not FORMULA.match(guard(cell)) or guard(cell).startswith("'")


@given(st.lists(st.tuples(TEXT.filter(bool), TEXT, TEXT), max_size=5))
def test_written_sheets_read_back_the_same(rows: list[tuple[str, str, str]]) -> None:
    content = write_sheet(COLUMNS, rows)
    assert cells_of(content) == rows
    assert write_sheet(COLUMNS, cells_of(content)) == content

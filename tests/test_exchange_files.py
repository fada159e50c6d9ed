"""A table written as CSV or YAML reads back as it was, whatever stands in its cells."""

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.exchange.files import Columns, read_rows, written_csv, written_yaml
from shop.file_errors import FileError, FileErrors

COLUMNS = Columns("things", ("name", "figure", "wishes"), long=frozenset({"wishes"}))
QUICK = settings(max_examples=60, deadline=None)

signs = st.one_of(
    st.sampled_from("=+-@'\"\\,;:#|%&*!?[]{}<>~ \u00a0½±°…ßéłش😀0123456789nt"),
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cs", "Cn", "Co")),
)
cells = st.text(signs, max_size=20).map(lambda text: text.replace("\ufeff", "").strip())
lines = st.text(st.one_of(signs, st.sampled_from("\n\t")), max_size=30).map(
    lambda text: text.replace("\ufeff", "").strip()
)
tables = st.lists(
    st.fixed_dictionaries({"name": cells.filter(bool), "figure": cells, "wishes": lines}), max_size=4
)


@QUICK
@given(tables)
def test_csv_loses_nothing_and_holds_no_formula(rows: list[dict[str, str]]) -> None:
    content = written_csv(COLUMNS, rows)
    for row in list(csv.reader(io.StringIO(content.decode(), newline="")))[1:]:
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in row)
    read, errors = read_rows(COLUMNS, content)
    assert errors == ()
    assert [dict(row.cells) for row in read] == rows


@QUICK
@given(tables)
def test_yaml_loses_nothing(rows: list[dict[str, str]]) -> None:
    read, errors = read_rows(COLUMNS, written_yaml(COLUMNS, rows))
    assert errors == ()
    assert [dict(row.cells) for row in read] == rows


def errors_of(content: bytes) -> tuple[FileError, ...]:
    try:
        _rows, errors = read_rows(COLUMNS, content)
    except FileErrors as refused:
        return refused.errors
    return errors


@QUICK
@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused_in_words(content: bytes) -> None:
    assert all(error.message for error in errors_of(content))


@pytest.mark.parametrize(
    "content",
    [
        b"name,figure,wishes\nJos\xe9,\xbd in,none\n",
        b"\xef\xbb\xbfname;figure;wishes\r\nJos\xc3\xa9;\xc2\xbd in;none\r\n",
        "figure\twishes\tname\n½ in\tnone\tJosé\n".encode(),
        b'format: 1\nthings:\n  - name: Jos\xe9\n    figure: "\xbd in"\n    wishes: none\n',
        "\ufeffformat: 1\nthings:\n- {wishes: none, figure: ½ in, name: José}\n".encode(),
    ],
    ids=["windows", "mark-semicolons", "tabs", "yaml-windows", "yaml-mark"],
)
def test_files_are_read_as_programs_save_them(content: bytes) -> None:
    read, errors = read_rows(COLUMNS, content)
    assert errors == ()
    assert dict(read[0].cells) == {"name": "José", "figure": "½ in", "wishes": "none"}


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("format: 2\nthings: []\n", "line 1, format: The file must begin with format: 1."),
        ("format: 1\nothers: []\n", "line 2, others: This is not known here"),
        ("format: 1\nthings:\n  - nmae: A\n", "line 3, nmae: This column is not known."),
        ("format: 1\nthings:\n  - name: [A]\n", "line 3, name: This must be a text, not a list."),
        ("format: 1\nthings:\n  - A\n", "line 3: Each row is a list of names"),
        ("format: 1\nthings: &a\n  - name: *a\n", "line 2, &a: anchors are not allowed"),
        ("format: 1\nthings: none\n", "things: is no list"),
        ("name,figure\nA,1\n", "wishes: This column is missing."),
    ],
)
def test_what_is_wrong_is_told_with_line_and_column(content: str, told: str) -> None:
    assert told in "\n".join(str(error) for error in errors_of(content.encode()))


def test_a_file_that_unfolds_is_refused_before_it_does() -> None:
    bomb = "a: &a [x,x,x,x]\n" + "".join(
        f"{n}: &{n} [{','.join(f'*{b}' for _ in range(9))}]\n"
        for b, n in zip("abcdefg", "bcdefgh", strict=True)
    )
    with pytest.raises(FileErrors, match="not allowed"):
        read_rows(COLUMNS, f"format: 1\n{bomb}".encode())

"""Reading YAML as text: what is refused, at which line, and what stays as it was written."""

import pytest

from jobs.procedures.yaml_text import MAX_BYTES, MAX_DEPTH, MAX_ERRORS, Table, plain, read_yaml
from shop.file_errors import FileErrors


def refused(content: bytes) -> list[str]:
    with pytest.raises(FileErrors) as caught:
        read_yaml(content)
    return [str(error) for error in caught.value.errors]


def test_every_scalar_stays_text() -> None:
    said = plain(read_yaml(b"a: no\nb: [1:30, ~, 0x10, 1e3, 2030-01-02, null]\nc:\nd: '1'\n"))
    assert said == {"a": "no", "b": ["1:30", "~", "0x10", "1e3", "2030-01-02", "null"], "c": "", "d": "1"}


def test_every_node_keeps_its_line() -> None:
    root = read_yaml(b"# a remark\na: 1\nb:\n  - x\n  - y: z\n")
    assert root.key_lines == {"a": 2, "b": 3}
    items = root.values["b"].items  # type: ignore[union-attr]
    assert [item.line for item in items] == [4, 5]
    assert isinstance(items[1], Table)
    assert items[1].key_lines == {"y": 5}


def test_windows_line_ends_and_byte_order_mark_are_taken() -> None:
    assert plain(read_yaml("\ufeffa: ½\r\nb: 2\r\n".encode())) == {"a": "½", "b": "2"}


def test_repeated_key_is_refused_with_both_lines() -> None:
    assert refused(b"a: 1\nb: 2\na: 3\n") == ["line 3, a: stands twice; first on line 1"]


def test_repeated_key_deep_inside_is_refused() -> None:
    assert refused(b"a:\n  - b: 1\n    c: 2\n    b: [1, 2]\n") == ["line 4, b: stands twice; first on line 2"]


@pytest.mark.parametrize(
    ("content", "error"),
    [
        (b"a: &x 1\n", "line 1, &x: anchors are not allowed; write it out"),
        (b"a: 1\nb: *x\n", "line 2, *x: aliases are not allowed; write it out"),
        (b"a: 1\n<<: {b: 2}\n", "line 2, <<: merge keys are not allowed; write it out"),
        (b"a:\n  b: 1\n\tc: 2\n", "line 3: is indented with a tab; use blanks"),
        (b"a: 1\n? [b]\n: 2\n", "line 2: a key must be a plain word"),
        (b"a: 1\n---\nb: 2\n", "line 2, ---: one file holds one procedure; a second begins here"),
        (b"a: 1\nb: x\x00y\n", "line 2: holds a character that no text holds (U+0000)"),
        (b"a: 1\nb: \x1b[31m\n", "line 2: holds a character that no text holds (U+001B)"),
        (b"a: 1\nb: \xff\n", "line 2: is not UTF-8 text (byte 0xFF); save the file as UTF-8"),
        ("a: ½".encode("utf-16"), "line 1: is not UTF-8 text (byte 0xFF); save the file as UTF-8"),
        (b"", "line 1: is not a procedure file: it must begin with format: 1"),
        (b"- a\n- b\n", "line 1: is not a procedure file: it must begin with format: 1"),
    ],
)
def test_what_is_refused_says_where(content: bytes, error: str) -> None:
    assert refused(content) == [error]


@pytest.mark.parametrize("tag", ["!!python/object/apply:os.system", "!!int", "!own", "!"])
def test_tags_are_refused(tag: str) -> None:
    (error,) = refused(f"a: 1\nb: {tag} x\n".encode())
    assert error.startswith("line 2, ")
    assert "tags are not allowed" in error


@pytest.mark.parametrize(
    "content", [b"a: 'open\n", b"a: b: c\n", b"a: [1, 2\n", b"a: 1\n  b: 2\n", b"a: %x\n"]
)
def test_broken_yaml_names_a_line(content: bytes) -> None:
    (error,) = refused(content)
    assert error.startswith("line ")
    assert "cannot be read as YAML" in error


def test_file_that_unfolds_is_refused_before_it_does() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 30)]
    errors = refused("\n".join(lines).encode())
    assert errors[0] == "line 1, &a0: anchors are not allowed; write it out"
    assert len(errors) == MAX_ERRORS


@pytest.mark.parametrize("content", [b"[" * 50_000, b"a: " + b"{b: " * (MAX_DEPTH + 1), b"- " * 50_000])
def test_depth_is_bounded(content: bytes) -> None:
    assert len(refused(content)) == 1


def test_size_is_bounded() -> None:
    size = 5_000_000
    assert refused(b"a" * size) == [f"the file has {size} bytes; a procedure file has at most {MAX_BYTES}"]


def test_number_of_errors_is_bounded() -> None:
    assert len(refused(b"\x01\n" * 10_000)) == MAX_ERRORS

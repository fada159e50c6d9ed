"""Reading the YAML of a procedure file safely: plain text, lists and keys, each with its line.

Only what a procedure needs is taken in. Every scalar stays the text that was written (`no` is the word "no",
`1:30` is no number). Anchors, aliases, tags and merge keys are refused before anything is built from
them, so that a small file cannot unfold into a large one. Size and depth are bounded.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice
from typing import Any, NoReturn

import yaml
from django.utils.translation import gettext as _

from shop.file_errors import FileError, FileErrors

MAX_BYTES = 1_000_000
MAX_DEPTH = 20
MAX_ERRORS = 100

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class Text:
    """A scalar, as it was written."""

    value: str
    line: int


@dataclass(frozen=True)
class Listing:
    """A list of nodes."""

    items: tuple[Node, ...]
    line: int


@dataclass(frozen=True)
class Table:
    """Keys in the order of the file; `key_lines` says where each stands."""

    values: dict[str, Node]
    line: int
    key_lines: dict[str, int]


Node = Text | Listing | Table


@dataclass
class _Open:
    """A list or a table whose end has not been read yet."""

    line: int
    is_table: bool
    items: list[Node] = field(default_factory=list)
    values: dict[str, Node] = field(default_factory=dict)
    key_lines: dict[str, int] = field(default_factory=dict)
    key: str | None = None
    is_repeated: bool = False

    def closed(self) -> Node:
        if self.is_table:
            return Table(self.values, self.line, self.key_lines)
        return Listing(tuple(self.items), self.line)


def read_yaml(content: bytes) -> Table:
    """Read one YAML document whose outermost part is a table.

    Raises:
        FileErrors: with every fault that could be found, each with its line.
    """
    text = _decoded(content)
    builder = _Builder()
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            builder.take(event)
    except yaml.YAMLError as fault:
        builder.errors.append(_syntax_error(fault, text))
    if builder.errors:
        raise FileErrors(builder.errors)
    if not isinstance(builder.root, Table):
        raise FileErrors([FileError(1, "", _("is not a procedure file: it must begin with format: 1"))])
    return builder.root


def plain(node: Node) -> Any:
    """A node as dicts, lists and text, its lines left out."""
    if isinstance(node, Text):
        return node.value
    if isinstance(node, Listing):
        return [plain(item) for item in node.items]
    return {key: plain(value) for key, value in node.values.items()}


class _Builder:
    """Takes parser events one by one, so that depth and aliases are seen before they cost anything."""

    def __init__(self) -> None:
        self.errors: list[FileError] = []
        self.root: Node | None = None
        self._open: list[_Open] = []
        self._documents = 0

    def take(self, event: yaml.Event) -> None:
        line = event.start_mark.line + 1 if event.start_mark else 1
        if isinstance(event, yaml.DocumentStartEvent):
            self._start_document(line)
        elif isinstance(event, yaml.AliasEvent):
            self._error(line, f"*{event.anchor}", _("aliases are not allowed; write it out"))
            self._add(Text("", line))
        elif isinstance(event, yaml.ScalarEvent):
            self._refuse_extras(event, line)
            self._add(Text(event.value, line))
        elif isinstance(event, yaml.CollectionStartEvent):
            self._refuse_extras(event, line)
            self._start(event, line)
        elif isinstance(event, yaml.CollectionEndEvent):
            self._add(self._open.pop().closed())

    def _start_document(self, line: int) -> None:
        self._documents += 1
        if self._documents > 1:
            self._stop(line, "---", _("one file holds one procedure; a second begins here"))

    def _start(self, event: yaml.CollectionStartEvent, line: int) -> None:
        if len(self._open) >= MAX_DEPTH:
            message = _("lists and tables are nested more than %(depth)d deep")
            self._stop(line, "", message % {"depth": MAX_DEPTH})
        if self._wants_key():
            self._stop(line, "", _("a key must be a plain word"))
        self._open.append(_Open(line, isinstance(event, yaml.MappingStartEvent)))

    def _wants_key(self) -> bool:
        return bool(self._open) and self._open[-1].is_table and self._open[-1].key is None

    def _add(self, node: Node) -> None:
        if not self._open:
            self.root = node
            return
        inside = self._open[-1]
        if not inside.is_table:
            inside.items.append(node)
        elif inside.key is None:
            self._take_key(inside, node)
        else:
            if not inside.is_repeated:
                inside.values[inside.key] = node
            inside.key = None

    def _take_key(self, inside: _Open, node: Node) -> None:
        assert isinstance(node, Text)
        inside.key = node.value
        inside.is_repeated = node.value in inside.values
        if node.value == "<<":
            self._error(node.line, "<<", _("merge keys are not allowed; write it out"))
        if inside.is_repeated:
            first = inside.key_lines[node.value]
            self._error(node.line, node.value, _("stands twice; first on line %(line)d") % {"line": first})
        else:
            inside.key_lines[node.value] = node.line

    def _refuse_extras(self, event: yaml.ScalarEvent | yaml.CollectionStartEvent, line: int) -> None:
        if event.anchor is not None:
            self._error(line, f"&{event.anchor}", _("anchors are not allowed; write it out"))
        if event.tag is not None:
            self._error(
                line, str(event.tag), _("tags are not allowed; text beginning with ! needs quotes round it")
            )

    def _stop(self, line: int, name: str, message: str) -> NoReturn:
        raise FileErrors([*self.errors, FileError(line, name, message)])

    def _error(self, line: int, name: str, message: str) -> None:
        self.errors.append(FileError(line, name, message))
        if len(self.errors) >= MAX_ERRORS:
            raise FileErrors(self.errors)


def _decoded(content: bytes) -> str:
    """The text of the file, or a fault that says where it stops being text."""
    if len(content) > MAX_BYTES:
        message = _("the file has %(size)d bytes; a procedure file has at most %(most)d")
        raise FileErrors([FileError(None, "", message % {"size": len(content), "most": MAX_BYTES})])
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = content[: fault.start].count(b"\n") + 1
        message = _("is not UTF-8 text (byte 0x%(byte)02X); save the file as UTF-8")
        raise FileErrors([FileError(line, "", message % {"byte": content[fault.start]})]) from None
    errors = list(islice(_unprintable(text), MAX_ERRORS))
    if errors:
        raise FileErrors(errors)
    return text


def _unprintable(text: str) -> Iterator[FileError]:
    for number, line in enumerate(text.split("\n"), start=1):
        found = next((c for c in line if _is_unprintable(c)), None)
        if found is not None:
            message = _("holds a character that no text holds (U+%(code)04X)") % {"code": ord(found)}
            yield FileError(number, "", message)


def _is_unprintable(character: str) -> bool:
    code = ord(character)
    return (code < 32 and character not in "\t\r") or 127 <= code < 160 or code in {0xFEFF, 0xFFFE, 0xFFFF}


def _syntax_error(fault: yaml.YAMLError, text: str) -> FileError:
    mark = getattr(fault, "problem_mark", None) or getattr(fault, "context_mark", None)
    if mark is None:
        return FileError(None, "", _("cannot be read as YAML"))
    lines = text.split("\n")
    line = min(mark.line, len(lines) - 1)
    written = lines[line]
    if "\t" in written[: len(written) - len(written.lstrip())]:
        return FileError(line + 1, "", _("is indented with a tab; use blanks"))
    problem = getattr(fault, "problem", None) or ""
    message = _("cannot be read as YAML (%(problem)s); look at the indents, colons and quotes around here")
    return FileError(line + 1, "", message % {"problem": problem})

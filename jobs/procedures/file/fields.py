"""Asking a table of a file for its keys: each value checked as it is read, every fault kept with its line."""

import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches

from django.utils.translation import gettext as _

from jobs.procedures.yaml_text import Listing, Node, Table, Text
from shop.file_errors import FileError, FileErrors

WHOLE_NUMBER = re.compile(r"[0-9]{1,9}")
LONGEST_LIST = 100
LONGEST_WORD = 40
MOST_FAULTS = 300


class Faults:
    """The faults found so far. A file with very many is no procedure: reading it ends there."""

    def __init__(self) -> None:
        self.errors: list[FileError] = []

    def add(self, line: int | None, name: str, message: str) -> None:
        self.errors.append(FileError(line, name, message))
        if len(self.errors) >= MOST_FAULTS:
            rest = _("there may be more; put these %(count)d right first") % {"count": MOST_FAULTS}
            raise FileErrors([*self.in_order(), FileError(None, "", rest)])

    def in_order(self) -> list[FileError]:
        """By the lines of the file."""
        return sorted(self.errors, key=lambda error: error.line or 0)


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """The nearest known word as a question, or nothing."""
    spelled = {name.lower(): name for name in known}
    if len(word) > LONGEST_WORD:
        return ""
    near = get_close_matches(word.lower(), sorted(spelled), n=1, cutoff=0.6)
    return _("; did you mean “%(word)s”?") % {"word": spelled[near[0]]} if near else ""


def shown(value: str, *, longest: int = 60) -> str:
    """What somebody wrote, short enough for a message."""
    return value if len(value) <= longest else value[: longest - 1] + "…"


class Fields:
    """The keys of one table. What is never asked for is unknown and refused by `refuse_unknown`."""

    def __init__(self, table: Table, name: str, faults: Faults) -> None:
        self.table, self.name, self.faults = table, name, faults

    @property
    def line(self) -> int:
        return self.table.line

    def fault(self, key: str, message: str, *, line: int | None = None) -> None:
        where = line or self.table.key_lines.get(key, self.line)
        self.faults.add(where, f"{self.name} {key}".strip(), message)

    def has(self, key: str) -> bool:
        return key in self.table.values

    def text(self, key: str, *, longest: int, required: bool = False) -> str:
        """One line of text; blanks and line ends inside count as one blank."""
        node = self._scalar(key, required=required)
        return self._checked(key, node, longest) if node else ""

    def paragraphs(self, key: str, *, longest: int) -> str:
        """Text whose lines are kept."""
        node = self._scalar(key, required=False)
        value = "\n".join(line.rstrip() for line in node.value.splitlines()).strip() if node else ""
        if node and len(value) > longest:
            self.fault(key, _("is longer than %(most)d characters") % {"most": longest})
        return value

    def code(self, key: str, pattern: re.Pattern[str], example: str) -> str:
        """A required code of a given form."""
        value = self.text(key, longest=30, required=True)
        if value and not pattern.fullmatch(value):
            message = _("“%(value)s” is no such code; write it like %(example)s")
            self.fault(key, message % {"value": shown(value), "example": example})
            return ""
        return value

    def choice(self, key: str, words: Sequence[str], *, required: bool = False) -> str:
        """One of some known words."""
        value = self.text(key, longest=60, required=required)
        return value if not value or self._known(key, value, words, None) else ""

    def yes_no(self, key: str) -> bool:
        return self.choice(key, ("yes", "no")) == "yes"

    def whole(self, key: str, *, low: int, high: int, required: bool = False) -> int | None:
        """A whole number from low to high."""
        value = self.text(key, longest=30, required=required)
        if not value:
            return None
        if not WHOLE_NUMBER.fullmatch(value) or not low <= int(value) <= high:
            message = _("“%(value)s” is no whole number from %(low)d to %(high)d")
            self.fault(key, message % {"value": shown(value), "low": low, "high": high})
            return None
        return int(value)

    def texts(self, key: str, *, longest: int, required: bool = False) -> tuple[str, ...]:
        """A list of lines of text."""
        found = []
        for node in self._items(key, required=required):
            if isinstance(node, Text):
                found.append(self._checked(key, node, longest))
            else:
                self.fault(key, _("holds a list or a table where text belongs"), line=node.line)
        return tuple(value for value in found if value)

    def words(self, key: str, known: Sequence[str]) -> tuple[str, ...]:
        """A list of known words, each once."""
        found: list[str] = []
        for node in self._items(key, required=False):
            value = " ".join(node.value.split()) if isinstance(node, Text) else ""
            if not isinstance(node, Text):
                self.fault(key, _("holds a list or a table where a word belongs"), line=node.line)
            elif value in found:
                self.fault(key, _("names “%(word)s” twice") % {"word": value}, line=node.line)
            elif self._known(key, value, known, node.line):
                found.append(value)
        return tuple(found)

    def tables(self, key: str, *, required: bool = False, longest: int = LONGEST_LIST) -> list[Table]:
        """A list of tables."""
        found = []
        for node in self._items(key, required=required, longest=longest):
            if isinstance(node, Table):
                found.append(node)
            else:
                self.fault(key, _("each entry of this list has keys, such as “code: …”"), line=node.line)
        return found

    def table_of(self, key: str, *, required: bool = False) -> Table | None:
        node = self.table.values.get(key)
        if isinstance(node, Table):
            return node
        if node is not None and not (isinstance(node, Text) and not node.value):
            self.fault(key, _("must hold keys of its own, each on a line"))
        elif required:
            self.fault(key, _("is missing"))
        return None

    def refuse_unknown(self, known: Sequence[str]) -> None:
        for key in self.table.values:
            if key not in known:
                message = _("is no word of a procedure file here%(meant)s")
                self.fault(
                    shown(key), message % {"meant": did_you_mean(key, known)}, line=self._key_line(key)
                )

    def _key_line(self, key: str) -> int:
        return self.table.key_lines.get(key, self.line)

    def _scalar(self, key: str, *, required: bool) -> Text | None:
        node = self.table.values.get(key)
        if isinstance(node, Text) and node.value.strip():
            return node
        if isinstance(node, Listing | Table):
            self.fault(key, _("must be plain text, not a list or a table"))
        elif node is not None:
            self.fault(key, _("says nothing; fill it in or leave it out"))
        elif required:
            self.fault(key, _("is missing"))
        return None

    def _items(self, key: str, *, required: bool, longest: int = LONGEST_LIST) -> tuple[Node, ...]:
        node = self.table.values.get(key)
        if node is None:
            if required:
                self.fault(key, _("is missing"))
            return ()
        if not isinstance(node, Listing):
            self.fault(key, _("must be a list: [one, two], or one to a line after “- ”"))
            return ()
        if required and not node.items:
            self.fault(key, _("must name at least one"))
        if len(node.items) > longest:
            self.fault(key, _("has more than %(most)d entries") % {"most": longest})
        return node.items

    def _checked(self, key: str, node: Text, longest: int) -> str:
        value = " ".join(node.value.split())
        if not value:
            self.fault(key, _("has an empty entry"), line=node.line)
        if len(value) > longest:
            message = _("is longer than %(most)d characters: “%(value)s”")
            self.fault(key, message % {"most": longest, "value": shown(value)}, line=node.line)
        return value

    def _known(self, key: str, value: str, words: Sequence[str], line: int | None) -> bool:
        if value in words:
            return True
        message = _("“%(value)s” is none of: %(words)s%(meant)s")
        parts = {
            "value": shown(value),
            "words": ", ".join(words),
            "meant": did_you_mean(value, words),
        }
        self.fault(key, message % parts, line=line)
        return False

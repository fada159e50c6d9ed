"""Reading the reference rows."""

import csv
import re
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

FOLDER = Path(__file__).parent


@dataclass(frozen=True)
class Row:
    """One published value, its texts as they stand in the file."""

    fields: dict[str, str]

    def __getattr__(self, name: str) -> str:
        try:
            return self.fields[name]
        except KeyError:
            raise AttributeError(name) from None

    def accepts(self, value: float | Fraction) -> bool:
        """Whether a value is the expected one within the row's own tolerance."""
        expected = Fraction(self.expected)
        kind, _, size = self.tolerance.rpartition(":")
        allowed = Fraction(size) * (abs(expected) if kind == "rel" else 1)
        return abs(Fraction(value) - expected) <= allowed

    def __repr__(self) -> str:
        return f"{self.id} {self.source}"


def rows(file: str, *groups: str) -> list[Row]:
    """The rows of a file that are used, of some groups or of all."""
    with (FOLDER / file).open(encoding="utf-8", newline="") as lines:
        found = [Row(dict(fields)) for fields in csv.DictReader(lines)]
    unused = not_used(file)
    return [row for row in found if row.id not in unused and (not groups or row.group in groups)]


def not_used(file: str) -> dict[str, str]:
    """The rows of a file that are not used, each with the reason; identities repeat between files."""
    whole = (FOLDER / "NOT_USED.md").read_text(encoding="utf-8")
    text = whole.partition(f"## {file}\n")[2].partition("\n## ")[0]
    found: dict[str, str] = {}
    for ids, reason in re.findall(r"^- ((?:[A-Z]\d{3}(?:, )?)+): (.+)$", text, re.MULTILINE):
        found.update(dict.fromkeys(ids.split(", "), reason))
    return found

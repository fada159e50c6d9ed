"""Showing a file where it is wrong: the lines around each fault, numbered, with what is wrong beside them."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from shop.file_errors import FileError

AROUND = 2
LONGEST_LINE = 300


@dataclass(frozen=True)
class ShownLine:
    """A line of the file with the faults that are on it."""

    number: int
    text: str
    errors: tuple[FileError, ...]


@dataclass(frozen=True)
class Excerpt:
    """Lines that follow each other."""

    lines: tuple[ShownLine, ...]

    @property
    def first(self) -> int:
        return self.lines[0].number


def excerpts(text: str, errors: Sequence[FileError]) -> tuple[Excerpt, ...]:
    """The stretches of a file in which something is wrong, in the order of the file."""
    lines = text.splitlines()
    at: dict[int, list[FileError]] = defaultdict(list)
    for error in errors:
        if error.line is not None and 1 <= error.line <= len(lines):
            at[error.line].append(error)
    return tuple(
        Excerpt(tuple(ShownLine(n, lines[n - 1][:LONGEST_LINE], tuple(at.get(n, ()))) for n in stretch))
        for stretch in _stretches(sorted(at), len(lines))
    )


def _stretches(numbers: list[int], last: int) -> list[range]:
    """The line numbers around those given; stretches that meet are one."""
    found: list[range] = []
    for number in numbers:
        begin, end = max(1, number - AROUND), min(last, number + AROUND)
        if found and begin <= found[-1].stop:
            found[-1] = range(found[-1].start, end + 1)
        else:
            found.append(range(begin, end + 1))
    return found

"""How two revisions differ, in words: what was added, removed, changed, moved; texts line by line. Pure."""

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from enum import StrEnum

from django.utils.translation import gettext_lazy


class ChangeKind(StrEnum):
    ADDED = "added"
    REMOVED = "removed"
    CHANGED = "changed"
    MOVED = "moved"


KIND_WORDS = {
    ChangeKind.ADDED: gettext_lazy("added"),
    ChangeKind.REMOVED: gettext_lazy("removed"),
    ChangeKind.CHANGED: gettext_lazy("changed"),
    ChangeKind.MOVED: gettext_lazy("moved"),
}


@dataclass(frozen=True)
class TextLine:
    """One line of a text: taken out, put in, or there before and after."""

    sign: str
    text: str

    @property
    def is_old(self) -> bool:
        return self.sign == "-"

    @property
    def is_new(self) -> bool:
        return self.sign == "+"


@dataclass(frozen=True)
class FieldWords:
    """One field: what stood there, what stands there now; `verdict` for a limit: tighter, looser, moved."""

    label: str
    old: str = ""
    new: str = ""
    verdict: str = ""
    lines: tuple[TextLine, ...] = ()

    def __str__(self) -> str:
        """On one line, as for a gate or a paper."""
        if self.lines:
            changed = "; ".join(f"{line.sign} {line.text}" for line in self.lines if line.sign != " ")
            return f"{self.label}: {changed}"
        said = f"{self.label}: {self.old or '–'} → {self.new or '–'}"
        return f"{said} ({self.verdict})" if self.verdict else said


def text_lines(old: tuple[str, ...], new: tuple[str, ...]) -> Iterator[TextLine]:
    """Both texts, line by line."""
    for tag, a, b, c, d in SequenceMatcher(a=old, b=new, autojunk=False).get_opcodes():
        if tag == "equal":
            yield from (TextLine(" ", line) for line in old[a:b])
        else:
            yield from (TextLine("-", line) for line in old[a:b])
            yield from (TextLine("+", line) for line in new[c:d])


def moved(old: Sequence[str], new: Sequence[str]) -> frozenset[str]:
    """Which of the codes in both orders changed place; as few as explain the newer order."""
    place = {code: number for number, code in enumerate(old)}
    kept = [code for code in new if code in place]
    return frozenset(kept) - frozenset(_longest_run(kept, place))


def _longest_run(codes: Sequence[str], place: Mapping[str, int]) -> list[str]:
    """The longest part of `codes` whose places rise. Source: HOUSE (patience sorting)"""
    ends: list[int] = []
    last: list[int] = []
    before: list[int | None] = []
    for number, code in enumerate(codes):
        at = bisect_left(ends, place[code])
        before.append(last[at - 1] if at else None)
        ends[at : at + 1] = [place[code]]
        last[at : at + 1] = [number]
    run, number_or_none = [], last[-1] if last else None
    while number_or_none is not None:
        run.append(codes[number_or_none])
        number_or_none = before[number_or_none]
    return run

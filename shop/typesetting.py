"""How a quantity is set: whole number, stacked fraction, tolerance, unit. Pure: works on written text."""

import re
from dataclasses import dataclass

# Only the parts of an inch: a date or a part number with a stroke in it stays as it is.
FRACTION = re.compile(r"(?<![\d/.])(?:(\d+)[ -])?(\d{1,2})/(2|4|8|16|32|64)(?![\d/])")

WRITTEN = re.compile(
    r"^(?P<value>.*?)"
    r"(?P<tolerance>\s*±.*?|\s+[+][^+−-]*?\s*[−-].*?)?"
    r"\s*(?P<unit>[^\d\s/±+−.…-][^\d±…]*)?$"
)


@dataclass(frozen=True)
class Figure:
    """The parts of a limit as a drawing sets them: '65', ('+5', '−0'), 'lbf·ft'."""

    value: str
    tolerances: tuple[str, ...]
    unit: str


@dataclass(frozen=True)
class Piece:
    """A stretch of text; or a fraction with the whole number before it, which may be missing."""

    text: str
    over: str = ""
    under: str = ""

    @property
    def is_fraction(self) -> bool:
        return bool(self.under)


def figure(text: str) -> Figure:
    """Take apart what was written: '31 1/4 ±1/16 in' is '31 1/4', ('±1/16',), 'in'."""
    match = WRITTEN.match(text.strip())
    if match is None or not match["value"]:
        return Figure(text.strip(), (), "")
    tolerance, unit = (match["tolerance"] or "").strip(), (match["unit"] or "").strip()
    if tolerance and unit.startswith("%"):
        tolerance, unit = f"{tolerance} %", unit.removeprefix("%").strip()
    two_sided = re.match(r"(\+.*?)\s*([−-].*)", tolerance)
    tolerances = two_sided.groups() if two_sided else (tolerance,) if tolerance else ()
    return Figure(match["value"].strip(), tolerances, unit)


def pieces(text: str) -> tuple[Piece, ...]:
    """Cut text into plain stretches and fractions of an inch."""
    found: list[Piece] = []
    end = 0
    for match in FRACTION.finditer(text):
        if match.start() > end:
            found.append(Piece(text[end : match.start()]))
        found.append(Piece(match[1] or "", match[2], match[3]))
        end = match.end()
    if end < len(text):
        found.append(Piece(text[end:]))
    return tuple(found)

"""The plan as a drawn timeline: bays, people and cars over working days. Pure data for SVG, in joined paths.

Work is hatched, by stage each in its own way; a car that holds its bay while nothing is done to it stands
there solid. So it reads in black and white, and standing still is what is seen first.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

LEFT = 150.0
WIDTH = 1240.0
TOP = 34.0
LETTER = 7.2


class Shape(StrEnum):
    """What a bar is."""

    STAY = "stay"
    WORK = "work"
    STANDING = "standing"
    AWAY = "away"


class MarkKind(StrEnum):
    """What is marked on a car's line."""

    READY = "ready"
    PROMISED = "promised"


@dataclass(frozen=True)
class Bar:
    """A stretch of time on a row, by the shop's clock."""

    shape: Shape
    starts: dt.datetime
    ends: dt.datetime
    label: str = ""
    stage: str = ""


@dataclass(frozen=True)
class Mark:
    kind: MarkKind
    at: dt.datetime


@dataclass(frozen=True)
class Row:
    """A bay, somebody, or a car. `range` is from when to when a date is likely to fall."""

    label: str
    bars: tuple[Bar, ...] = ()
    marks: tuple[Mark, ...] = ()
    range: tuple[dt.datetime, dt.datetime] | None = None


@dataclass(frozen=True)
class Part:
    """Rows under one heading."""

    title: str
    rows: tuple[Row, ...]
    height: float


@dataclass(frozen=True)
class DayAxis:
    """Working days side by side, each from opening to closing; what lies between days takes no room."""

    days: tuple[dt.date, ...]
    opens: int
    closes: int

    @property
    def day_width(self) -> float:
        return (WIDTH - LEFT) / max(1, len(self.days))

    def x(self, at: dt.datetime) -> float:
        """Where a time is, at the edge of the picture where it lies beyond it."""
        before = sum(day < at.date() for day in self.days)
        if at.date() not in self.days:
            return LEFT + before * self.day_width
        minutes = at.hour * 60 + at.minute
        share = (minutes - self.opens) / max(1, self.closes - self.opens)
        return LEFT + (before + min(1.0, max(0.0, share))) * self.day_width

    def shows(self, at: dt.datetime) -> bool:
        return bool(self.days) and self.days[0] <= at.date() <= self.days[-1]


@dataclass(frozen=True)
class Text:
    x: float
    y: float
    text: str


@dataclass
class Drawing:
    """Everything that the template draws: one path for all that looks alike."""

    height: float = TOP
    heads: list[Text] = field(default_factory=list)
    titles: list[Text] = field(default_factory=list)
    names: list[Text] = field(default_factory=list)
    labels: list[Text] = field(default_factory=list)
    lines: str = ""
    days: str = ""
    outlines: str = ""
    standing: str = ""
    away: str = ""
    promises: str = ""
    ready: str = ""
    ranges: str = ""
    now: str = ""
    hatches: dict[str, str] = field(default_factory=dict)

    @property
    def width(self) -> float:
        return WIDTH

    @property
    def left(self) -> float:
        return LEFT

    @property
    def stages(self) -> list[tuple[str, str]]:
        return list(self.hatches.items())


def draw(axis: DayAxis, parts: Sequence[Part], *, now: dt.datetime) -> Drawing:
    """All parts below each other over one row of days."""
    drawing = Drawing()
    paths: dict[str, list[str]] = defaultdict(list)
    for part in parts:
        drawing.titles.append(Text(0, drawing.height + 15, part.title))
        drawing.height += 22
        for row in part.rows:
            _row(drawing, paths, axis, row, part.height)
    drawing.height = round(drawing.height + 6, 1)
    for number, day in enumerate(axis.days):
        x = LEFT + number * axis.day_width
        paths["days"].append(f"M{x:.1f} {TOP - 16}V{drawing.height}")
        if axis.day_width > 44 or day.weekday() == 0 or number == 0:
            drawing.heads.append(Text(round(x + 3, 1), TOP - 6, _head(day, axis.day_width)))
    if axis.shows(now):
        x = axis.x(now)
        tip = f"M{x - 5:.1f} {TOP - 2}H{x + 5:.1f}L{x:.1f} {TOP + 7}Z"
        drawing.now = f"M{x:.1f} {TOP - 2}V{drawing.height}{tip}"
    for name in ("lines", "days", "outlines", "standing", "away", "promises", "ready", "ranges"):
        setattr(drawing, name, "".join(paths[name]))
    drawing.hatches = {name[6:]: "".join(lines) for name, lines in paths.items() if name.startswith("hatch:")}
    return drawing


def _head(day: dt.date, width: float) -> str:
    return f"{day:%a} {day.day} {day:%b}" if width > 74 else f"{day.day} {day:%b}"


def _row(drawing: Drawing, paths: dict[str, list[str]], axis: DayAxis, row: Row, height: float) -> None:
    top = drawing.height
    drawing.names.append(Text(0, round(top + height / 2 + 4, 1), row.label))
    for bar in row.bars:
        left, right = axis.x(bar.starts), axis.x(bar.ends)
        if right - left < 0.5:
            continue
        _bar(drawing, paths, bar, _Box(left, top + 3, right, top + height - 3))
    for mark in row.marks:
        if axis.shows(mark.at):
            x, middle = axis.x(mark.at), top + height / 2
            drawn = _promise if mark.kind is MarkKind.PROMISED else _ready
            paths["promises" if mark.kind is MarkKind.PROMISED else "ready"].append(drawn(x, middle))
    if row.range is not None:
        left, right, y = axis.x(row.range[0]), axis.x(row.range[1]), top + height / 2
        ends = (f"M{x:.1f} {y - 4:.1f}V{y + 4:.1f}" for x in (left, right))
        paths["ranges"] += [f"M{left:.1f} {y:.1f}H{right:.1f}", *ends]
    drawing.height += height
    paths["lines"].append(f"M0 {drawing.height:.1f}H{WIDTH}")


@dataclass(frozen=True)
class _Box:
    left: float
    top: float
    right: float
    bottom: float

    @property
    def outline(self) -> str:
        return f"M{self.left:.1f} {self.top:.1f}H{self.right:.1f}V{self.bottom:.1f}H{self.left:.1f}Z"


BAND = 13.0


def _bar(drawing: Drawing, paths: dict[str, list[str]], bar: Bar, box: _Box) -> None:
    lower = _Box(box.left, box.top + BAND, box.right, box.bottom)
    if bar.shape is Shape.AWAY:
        paths["away"].extend(hatch(box, rising=True, step=7))
        paths["away"].extend(hatch(box, rising=False, step=7))
    elif bar.shape is Shape.STANDING:
        inner = _Box(lower.left, lower.top + 2, lower.right, lower.bottom - 2)
        paths["standing"].append(inner.outline)
        return
    elif bar.shape is Shape.STAY:
        paths["outlines"].append(box.outline)
    else:
        paths["outlines"].append(lower.outline)
        paths[f"hatch:{bar.stage}"].extend(STAGE_HATCH.get(bar.stage, _plain)(lower))
    if bar.label and len(bar.label) * LETTER < box.right - box.left:
        drawing.labels.append(Text(round(box.left + 3, 1), round(box.top + BAND - 3, 1), bar.label))


def _promise(x: float, y: float) -> str:
    """A flag on a pole: until here."""
    return f"M{x:.1f} {y - 8:.1f}V{y + 8:.1f}M{x:.1f} {y - 8:.1f}L{x - 9:.1f} {y - 4:.1f}L{x:.1f} {y:.1f}"


def _ready(x: float, y: float) -> str:
    """A solid diamond."""
    return f"M{x - 5:.1f} {y:.1f}L{x:.1f} {y - 5:.1f}L{x + 5:.1f} {y:.1f}L{x:.1f} {y + 5:.1f}Z"


def hatch(box: _Box, *, rising: bool, step: float) -> Iterator[str]:
    """Lines at 45° within a box, cut off at its edges; counted from zero, so that neighbours line up."""
    height = box.bottom - box.top
    number = int((box.left - height) // step) + 1
    while (foot := number * step) < box.right:
        left, right = max(foot, box.left), min(foot + height, box.right)
        if right > left:
            low, high = left - foot, right - foot
            if rising:
                yield f"M{left:.1f} {box.bottom - low:.1f}L{right:.1f} {box.bottom - high:.1f}"
            else:
                yield f"M{left:.1f} {box.top + low:.1f}L{right:.1f} {box.top + high:.1f}"
        number += 1


def _plain(_box: _Box) -> Iterable[str]:
    return ()


def _rising(box: _Box) -> Iterable[str]:
    return hatch(box, rising=True, step=6)


def _falling(box: _Box) -> Iterable[str]:
    return hatch(box, rising=False, step=6)


def _crossed(box: _Box) -> Iterable[str]:
    return (*hatch(box, rising=True, step=6), *hatch(box, rising=False, step=6))


def _upright(box: _Box) -> Iterable[str]:
    first = int(box.left // 4) + 1
    return (
        f"M{x * 4} {box.top:.1f}V{box.bottom:.1f}"
        for x in range(first, int(-(-box.right // 4)))
        if x * 4 < box.right
    )


def _level(box: _Box) -> Iterable[str]:
    lines = int((box.bottom - box.top) // 4)
    return (f"M{box.left:.1f} {box.top + 4 * n:.1f}H{box.right:.1f}" for n in range(1, lines + 1))


def _wide(box: _Box) -> Iterable[str]:
    return hatch(box, rising=True, step=14)


STAGE_HATCH = {
    "teardown": _wide,
    "cutting": _falling,
    "drilling": _upright,
    "welding": _crossed,
    "assembly": _level,
    "alignment": _rising,
}

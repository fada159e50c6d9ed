"""The plan as a drawn timeline: bays, people and cars over working days. Pure data for SVG, in joined paths.

Work is hatched, by stage each in its own way; a car that holds its bay while nothing is done to it stands
there solid. So it reads in black and white, and standing still is what is seen first.
"""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import groupby

from jobs.plans.hatches import STAGE_HATCH, TILED, TILES, Box, Tile, hatch, plain
from jobs.plans.touching import Touch

LEFT = 176.0
WIDTH = 1240.0
TOP = 34.0
HEADING = 22.0
# As high as a sheet of paper on its side has room for beside the key, where the picture is as wide as it.
SHEET = 680.0
LETTER = 7.2
# Half of what a mark takes of its row.
MARK = 10.0


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
    """A stretch of time on a row, by the shop's clock; `says` what it is, whole, `url` leads on from it."""

    shape: Shape
    starts: dt.datetime
    ends: dt.datetime
    label: str = ""
    stage: str = ""
    says: str = ""
    url: str = ""


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
    says: str = ""
    url: str = ""


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
    touches: list[Touch] = field(default_factory=list)
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
    is_tiled: bool = False

    @property
    def width(self) -> float:
        return WIDTH

    @property
    def left(self) -> float:
        return LEFT

    @property
    def days_width(self) -> float:
        return WIDTH - LEFT

    @property
    def tiles(self) -> list[Tile]:
        """The hatches that are laid over whole shapes."""
        return [tile for tile in TILES if self.is_tiled and tile.stage in self.hatches]

    @property
    def touched_rows(self) -> list[list[Touch]]:
        return [list(row) for _number, row in groupby(self.touches, key=lambda touch: touch.row)]

    @property
    def stages(self) -> list[tuple[str, str]]:
        return list(self.hatches.items())


def on_sheets(parts: Iterable[Part], room: float = SHEET) -> list[list[Part]]:
    """The parts on as many sheets as they need, no row thin, a part whole where it can be."""
    sheets: list[list[Part]] = [[]]
    used = TOP
    for part in parts:
        rows = list(part.rows)
        while rows:
            fits = int((room - used - HEADING) // part.height)
            whole = len(rows) * part.height <= room - TOP - HEADING
            if sheets[-1] and (fits < 1 or (fits < len(rows) and whole)):
                sheets.append([])
                used = TOP
                continue
            taken, rows = rows[: max(1, fits)], rows[max(1, fits) :]
            sheets[-1].append(Part(part.title, tuple(taken), part.height))
            used += HEADING + len(taken) * part.height
    return sheets


def draw(axis: DayAxis, parts: Sequence[Part], *, now: dt.datetime, tiled: bool = False) -> Drawing:
    """All parts below each other over one row of days. Tiled: a pattern is laid over whole bars, no lines."""
    drawing = Drawing(is_tiled=tiled)
    paths: dict[str, list[str]] = defaultdict(list)
    for part in parts:
        drawing.titles.append(Text(0, drawing.height + 15, part.title))
        drawing.height += HEADING
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
    top, number = drawing.height, len(drawing.names)
    drawing.names.append(Text(0, round(top + height / 2 + 4, 1), row.label))
    boxes = []
    for bar in row.bars:
        left, right = axis.x(bar.starts), axis.x(bar.ends)
        if right - left < 0.5:
            continue
        box = Box(left, top + 3, right, top + height - 3)
        _bar(drawing, paths, bar, box)
        boxes.append((bar, box))
    drawing.labels += _labels(boxes)
    drawing.touches += _touches(boxes, number)
    for mark in row.marks:
        if axis.shows(mark.at):
            x, middle = axis.x(mark.at), top + height / 2
            drawn = _promise if mark.kind is MarkKind.PROMISED else _ready
            paths["promises" if mark.kind is MarkKind.PROMISED else "ready"].append(drawn(x, middle))
    if row.range is not None:
        left, right, y = axis.x(row.range[0]), axis.x(row.range[1]), top + height / 2
        ends = [f"M{axis.x(at):.1f} {y - 4:.1f}V{y + 4:.1f}" for at in row.range if axis.shows(at)]
        paths["ranges"] += [f"M{left:.1f} {y:.1f}H{right:.1f}", *ends] if right > left else ends
    if row.says and (marked := _marked(axis, row, top, height)):
        drawing.touches.append(Touch(marked, number, row.says, row.url))
    drawing.height += height
    paths["lines"].append(f"M0 {drawing.height:.1f}H{WIDTH}")


BAND = 13.0


def _bar(drawing: Drawing, paths: dict[str, list[str]], bar: Bar, box: Box) -> None:
    lower = Box(box.left, box.top + BAND, box.right, box.bottom)
    if bar.shape is Shape.AWAY:
        paths["away"].extend(hatch(box, rising=True, step=7))
        paths["away"].extend(hatch(box, rising=False, step=7))
    elif bar.shape is Shape.STANDING:
        inner = Box(lower.left, lower.top + 2, lower.right, lower.bottom - 2)
        paths["standing"].append(inner.outline)
        return
    elif bar.shape is Shape.STAY:
        paths["outlines"].append(box.outline)
    elif drawing.is_tiled:
        paths[f"hatch:{bar.stage}" if bar.stage in TILED else "outlines"].append(lower.outline)
    else:
        paths["outlines"].append(lower.outline)
        paths[f"hatch:{bar.stage}"].extend(STAGE_HATCH.get(bar.stage, plain)(lower))


def _touches(boxes: Iterable[tuple[Bar, Box]], row: int) -> Iterator[Touch]:
    """From left to right, each where its bar is seen: a stay in its band, what is in it beneath."""
    for bar, box in sorted(boxes, key=lambda one: (one[1].left, one[0].shape is not Shape.STAY)):
        if not bar.says:
            continue
        middle = box.top + BAND
        if bar.shape is Shape.STAY:
            box = Box(box.left, box.top, box.right, middle)
        elif bar.shape is not Shape.AWAY:
            box = Box(box.left, middle, box.right, box.bottom)
        yield Touch(box, row, bar.says, bar.url)


def _marked(axis: DayAxis, row: Row, top: float, height: float) -> Box | None:
    """The part of a row that its marks take; none where all of them lie beyond the days."""
    found = [axis.x(at) for at in (*(mark.at for mark in row.marks), *(row.range or ())) if axis.shows(at)]
    return Box(min(found) - MARK, top, max(found) + MARK, top + height) if found else None


def _labels(boxes: Iterable[tuple[Bar, Box]]) -> Iterator[Text]:
    """What bars are called where there is room, of work at least the job; none over another, work first."""
    taken: list[tuple[float, float]] = []
    for bar, box in sorted(boxes, key=lambda one: one[0].shape is Shape.AWAY):
        short = "" if bar.shape is Shape.AWAY else bar.label.partition(" ")[0]
        for label in filter(None, (bar.label, short)):
            left, right = box.left, box.left + len(label) * LETTER
            if right < box.right and not any(left < end and start < right for start, end in taken):
                taken.append((left, right))
                yield Text(round(left + 3, 1), round(box.top + BAND - 3, 1), label)
                break


def _promise(x: float, y: float) -> str:
    """A flag on a pole: until here."""
    return f"M{x:.1f} {y - 8:.1f}V{y + 8:.1f}M{x:.1f} {y - 8:.1f}L{x - 9:.1f} {y - 4:.1f}L{x:.1f} {y:.1f}"


def _ready(x: float, y: float) -> str:
    """A solid diamond."""
    return f"M{x - 5:.1f} {y:.1f}L{x:.1f} {y - 5:.1f}L{x + 5:.1f} {y:.1f}L{x:.1f} {y + 5:.1f}Z"

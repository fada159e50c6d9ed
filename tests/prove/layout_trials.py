"""Many random layouts, each with one slip or none: how often the right slip is named.

People, tape and metal are played here on their own: places are worked out with coordinates, not with what is
tried. The tape errs evenly within its permissible error and is read to its divisions; the scriber adds to it.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass, field

from shop.engineering.layout.cross_checks import CheckPlan, plan_checks
from shop.engineering.layout.plane import Datum, Mark, Point, Step
from shop.engineering.layout.slip_kinds import Slip, Where
from shop.engineering.layout.tapes import Tape

# A tape as most shops have, a better one, and one of class I of OIML R 35-1 (0.1 mm + 0.1 mm/m) at 1 m.
TAPES = {
    "within 1/32 in, read to 1/32": Tape("in", error=1 / 32, resolution=1 / 32),
    "within 1/64 in, read to 1/32": Tape("in", error=1 / 64, resolution=1 / 32),
    "class I, read to 1/64": Tape("in", error=0.2 / 25.4, resolution=1 / 64),
}
WHERES = (Where.LAID_OUT, Where.LAID_OUT, Where.BOTH, Where.READ)


@dataclass(frozen=True)
class Board:
    """One view with its datums. Edges run along the axes; `inner` are those with metal on both sides."""

    edges: dict[str, tuple[str, float]]
    pins: dict[str, Point]
    inner: frozenset[str]
    size: Point

    @property
    def datums(self) -> list[Datum]:
        far = 200.0
        lines = [
            Datum(code, (at, 0.0), (at, far)) if axis == "x" else Datum(code, (0.0, at), (far, at))
            for code, (axis, at) in self.edges.items()
        ]
        return [*lines, *(Datum(code, at) for code, at in self.pins.items())]


@dataclass
class Trial:
    """A mark that was laid out and read, with or without a slip."""

    board: Board
    plan: CheckPlan
    tape: Tape
    slip: Slip | None = None
    datum: str = ""
    where: Where | None = None
    values: list[float] = field(default_factory=list)
    second: list[float] = field(default_factory=list)


def sixteenths(rng: random.Random, low: float, high: float) -> float:
    return round(rng.uniform(low, high) * 16) / 16


def board(rng: random.Random) -> Board:
    """A rail or a panel: two or three ends and edges, perhaps a centre line, two to four pins."""
    width, height = sixteenths(rng, 24, 90), sixteenths(rng, 5, 30)
    edges = {"front": ("x", 0.0), "flange": ("y", 0.0)}
    inner: set[str] = set()
    if rng.random() < 0.7:
        edges["rear"] = ("x", width)
    if rng.random() < 0.5:
        edges["upper flange"] = ("y", height)
    if rng.random() < 0.5:
        edges["centre line"] = ("y", sixteenths(rng, 0.35 * height, 0.65 * height))
        inner.add("centre line")
    pins = {
        f"pin {n}": (sixteenths(rng, 0, width), sixteenths(rng, 0, height)) for n in range(rng.randint(2, 4))
    }
    return Board(edges, pins, frozenset(inner), (width, height))


def mark(rng: random.Random, on: Board) -> Mark:
    """A line square across, a hole from two edges, or one from two pins."""
    width, height = on.size
    x = sixteenths(rng, 0.1 * width, 0.9 * width)
    datums = {datum.code: datum for datum in on.datums}
    kind = rng.choice(("line", "hole", "hole", "arcs"))
    upright = [code for code, (axis, _at) in on.edges.items() if axis == "x"]
    level = [code for code, (axis, _at) in on.edges.items() if axis == "y"]
    if kind == "line":
        step = Step(datums[rng.choice(upright)], (0, 1))
        return Mark("C", ((x, 0.0), (x, height)), (step,), 1 / 16)
    place, radius = (x, sixteenths(rng, 0.1 * height, 0.9 * height)), sixteenths(rng, 3 / 8, 2) / 2
    codes = [rng.choice(upright), rng.choice(level)] if kind == "hole" else rng.sample(sorted(on.pins), 2)
    return Mark("H", (place,), tuple(Step(datums[code]) for code in codes), 1 / 16, radius)


def layouts(rng: random.Random, tape: Tape) -> Iterator[Trial]:
    """Layouts that can be made: the mark is pinned, and far enough from what it is laid out from."""
    while True:
        on = board(rng)
        made = mark(rng, on)
        near = any(made.reads(span) < 1.5 for span in made.laid_out)
        if made.fault() or near:
            continue
        plan = plan_checks(made, on.datums, tape)
        if len(plan.checks) == 2 and plan.bears_one_slip:
            yield Trial(on, plan, tape)


def tape_error(rng: random.Random, tape: Tape) -> float:
    return rng.uniform(-tape.error, tape.error)


def scribe_error(rng: random.Random) -> float:
    return rng.uniform(-1 / 64, 1 / 64)


def divided(value: float, tape: Tape) -> float:
    return round(value / tape.resolution) * tape.resolution

"""The weld map as it is drawn: each panel with its welds, all panels to one scale. Pure data for SVG."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from jobs.judging.weld_map import MappedWeld

MARGIN = 0.17
LEAST_SIZE = 50.0


class Drawable(Protocol):
    """Whatever stands for a weld in a drawing: on a car, or in a draft of the map."""

    @property
    def weld(self) -> MappedWeld: ...


W = TypeVar("W", bound=Drawable)


@dataclass(frozen=True)
class Placed(Generic[W]):
    """One weld in its panel: where its label stands, clear of every seam, and the middle of its bead."""

    drawn: W
    x: float
    y: float
    anchor: str
    bead_x: float
    bead_y: float


@dataclass(frozen=True)
class DrawnView(Generic[W]):
    """One panel of the map with its welds."""

    name: str
    side: str
    view_box: str
    welds: tuple[W, ...]
    radius: float
    letter: float

    @property
    def placed(self) -> "tuple[Placed[W], ...]":
        middle = tuple((low + high) / 2 for low, high in (_reach(self.welds, axis) for axis in (0, 1)))
        return tuple(_placed(each, middle, self.letter, self.radius) for each in self.welds)

    @property
    def bead(self) -> float:
        """Half of what a bead is wide."""
        return round(self.letter * 0.5, 1)

    @property
    def bead_tick(self) -> str:
        """A tick within a bead around 0, 0."""
        r = self.bead
        return f"M{-0.5 * r:.1f} {0.05 * r:.1f}L{-0.1 * r:.1f} {0.45 * r:.1f}L{0.55 * r:.1f} {-0.4 * r:.1f}"

    @property
    def bead_cross(self) -> str:
        a = round(self.bead * 0.5, 1)
        return f"M-{a} -{a}L{a} {a}M-{a} {a}L{a} -{a}"

    @property
    def stroke(self) -> str:
        """The width of a line in print."""
        return f"{self.radius / 5:.2f}"

    @property
    def seam(self) -> str:
        return f"{self.radius * 0.6:.2f}"


def drawn_views(welds: Sequence[W]) -> tuple[DrawnView[W], ...]:
    """Each panel of the map, in the order in which its welds are listed."""
    names = dict.fromkeys((w.weld.view, w.weld.side) for w in welds)
    panels = [tuple(w for w in welds if (w.weld.view, w.weld.side) == panel) for panel in names]
    reaches = (_reach(panel, axis) for panel in panels for axis in (0, 1))
    size = max([LEAST_SIZE, *(high - low for low, high in reaches)])
    return tuple(_drawn(name, side, welds, size) for name, side in names)


def _drawn(name: str, side: str, welds: Sequence[W], size: float) -> DrawnView[W]:
    """One panel, as wide as the widest of them, so that all of them are drawn to one scale."""
    here = tuple(w for w in welds if (w.weld.view, w.weld.side) == (name, side))
    (left, right), (top, bottom) = _reach(here, 0), _reach(here, 1)
    margin = MARGIN * size
    beside, height = (size - right + left) / 2 + margin, bottom - top + 2 * margin
    box = (left - beside, top - margin, size + 2 * margin, height)
    return DrawnView(
        name, side, " ".join(f"{n:.0f}" for n in box), here, round(size / 40, 1), round(size / 20, 1)
    )


def _placed(drawn: W, middle: Sequence[float], letter: float, radius: float) -> Placed[W]:
    """A label stands outside of the panel: beside an upright seam, over or under a lying one."""
    (x0, y0), (x1, y1) = drawn.weld.start, drawn.weld.end
    x, y, clear = (x0 + x1) / 2, (y0 + y1) / 2, letter * 0.75
    if drawn.weld.is_plug:
        at, anchor = (x + radius, y - radius), "start"
    elif abs(y1 - y0) > abs(x1 - x0):
        is_left = x < middle[0]
        at, anchor = ((x - clear if is_left else x + clear), y + letter * 0.35), "end" if is_left else "start"
    else:
        at, anchor = (x, y + clear + letter * 0.7 if y > middle[1] else y - clear), "middle"
    return Placed(drawn, round(at[0], 1), round(at[1], 1), anchor, round(x, 1), round(y, 1))


def _reach(welds: Sequence[W], axis: int) -> tuple[float, float]:
    """From where to where welds go along an axis of their view."""
    at = [end[axis] for w in welds for end in (w.weld.start, w.weld.end)]
    return min(at), max(at)

"""The weld map as it is drawn: each panel with its welds, all panels to one scale. Pure data for SVG."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from jobs.judging.weld_map import MappedWeld

MARGIN = 0.12
LEAST_SIZE = 50.0


class Drawable(Protocol):
    """Whatever stands for a weld in a drawing: on a car, or in a draft of the map."""

    @property
    def weld(self) -> MappedWeld: ...


W = TypeVar("W", bound=Drawable)


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
        name, side, " ".join(f"{n:.0f}" for n in box), here, round(size / 40, 1), round(size / 22, 1)
    )


def _reach(welds: Sequence[W], axis: int) -> tuple[float, float]:
    """From where to where welds go along an axis of their view."""
    at = [end[axis] for w in welds for end in (w.weld.start, w.weld.end)]
    return min(at), max(at)

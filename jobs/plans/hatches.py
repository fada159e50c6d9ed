"""How each stage is hatched in the timeline, as paths: told apart without colour."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass


def number(value: float) -> str:
    """To a tenth, as short as it is written."""
    return f"{value:.1f}".removesuffix(".0")


@dataclass(frozen=True)
class Box:
    """A rectangle of the drawing, in its units."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def outline(self) -> str:
        left, top, right, bottom = map(number, (self.left, self.top, self.right, self.bottom))
        return f"M{left} {top}H{right}V{bottom}H{left}Z"


def hatch(box: Box, *, rising: bool, step: float) -> Iterator[str]:
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


def plain(_box: Box) -> Iterable[str]:
    return ()


def _rising(box: Box) -> Iterable[str]:
    return hatch(box, rising=True, step=6)


def _falling(box: Box) -> Iterable[str]:
    return hatch(box, rising=False, step=6)


def _crossed(box: Box) -> Iterable[str]:
    return (*hatch(box, rising=True, step=6), *hatch(box, rising=False, step=6))


def _upright(box: Box) -> Iterable[str]:
    first = int(box.left // 4) + 1
    return (
        f"M{x * 4} {box.top:.1f}V{box.bottom:.1f}"
        for x in range(first, int(-(-box.right // 4)))
        if x * 4 < box.right
    )


def _level(box: Box) -> Iterable[str]:
    lines = int((box.bottom - box.top) // 4)
    return (f"M{box.left:.1f} {box.top + 4 * n:.1f}H{box.right:.1f}" for n in range(1, lines + 1))


def _wide(box: Box) -> Iterable[str]:
    return hatch(box, rising=True, step=14)


STAGE_HATCH = {
    "teardown": _wide,
    "cutting": _falling,
    "drilling": _upright,
    "welding": _crossed,
    "assembly": _level,
    "alignment": _rising,
}


@dataclass(frozen=True)
class Tile:
    """One repeat of a hatch, for screens, which lay it over a whole shape: far fewer bytes than its lines."""

    stage: str
    size: int
    path: str


def _slanted(step: int, *, rising: bool) -> str:
    """A line across the tile, and its neighbours' tips at two corners."""
    if rising:
        return f"M0 {step}L{step} 0M-1 1L1-1M{step - 1} {step + 1}L{step + 1} {step - 1}"
    return f"M0 0L{step} {step}M-1 {step - 1}L1 {step + 1}M{step - 1}-1L{step + 1} 1"


TILES = (
    Tile("teardown", 14, _slanted(14, rising=True)),
    Tile("cutting", 6, _slanted(6, rising=False)),
    Tile("drilling", 4, "M2 0V4"),
    Tile("welding", 6, _slanted(6, rising=True) + _slanted(6, rising=False)),
    Tile("assembly", 4, "M0 2H4"),
    Tile("alignment", 6, _slanted(6, rising=True)),
)
TILED = frozenset(tile.stage for tile in TILES)

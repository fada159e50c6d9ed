"""A cradle from above, where it should be: its points and the references on the body. Pure data for SVG."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from shop.engineering.placing.readings import Vector

MARGIN = 0.16
Spot = tuple[str, float, float]


@dataclass(frozen=True)
class CradlePicture:
    """Forward is up, the left side left. `outline`: the corners of the cradle in turn."""

    points: tuple[Spot, ...]
    references: tuple[Spot, ...]
    outline: str
    view_box: str
    stroke: float
    letter: float
    radius: float


def draw_cradle(points: Mapping[str, Vector], references: Mapping[str, Vector]) -> CradlePicture | None:
    """Draw it. None where there is nothing to draw."""
    spots = [(code, -y, -x) for code, (x, y, _z) in points.items()]
    beside = [(code, -y, -x) for code, (x, y, _z) in references.items()]
    every = [*spots, *beside]
    if not every:
        return None
    xs, ys = [x for _code, x, _y in every], [y for _code, _x, y in every]
    size = max(max(xs) - min(xs), max(ys) - min(ys), 1.0)
    margin = MARGIN * size
    box = (min(xs) - margin, min(ys) - margin, max(xs) - min(xs) + 2 * margin, max(ys) - min(ys) + 2 * margin)
    return CradlePicture(
        tuple(spots),
        tuple(beside),
        " ".join(f"{x:.1f},{y:.1f}" for _code, x, y in _around(spots)),
        " ".join(f"{n:.0f}" for n in box),
        round(size / 160, 2),
        round(size / 18, 1),
        round(size / 70, 1),
    )


def _around(spots: list[Spot]) -> list[Spot]:
    """The corners in turn about their middle."""
    if not spots:
        return []
    x, y = sum(s[1] for s in spots) / len(spots), sum(s[2] for s in spots) / len(spots)
    return sorted(spots, key=lambda s: math.atan2(s[2] - y, s[1] - x))

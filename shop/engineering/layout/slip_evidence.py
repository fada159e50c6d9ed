"""How likely the readings of a mark are under a story, with the tape's error as the rectangle that it is.

What a tape shows is off by up to its permissible error, evenly, and by its division: the sum of both
rectangles is a trapezoid. A mark is not laid out perfectly either: its place is summed over a lattice of what
the tape and the scriber may have added along the dimensions of its layout.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from shop.engineering.layout.plane import NOTHING, Mark, Pair, Span
from shop.engineering.layout.tapes import Tape

if TYPE_CHECKING:
    import numpy as np

    Array = np.ndarray[Any, Any]

# A scribed or punched mark is off by up to this, besides what the tape adds. Common practice, no source.
SCRIBED = {"in": 1 / 64, "mm": 0.4}
# Such a share of readings is off beyond what its tape allows: people are no rectangles.
OUTLIERS = 0.001
BEYOND = 1e-7
NODES = 12


class Evidence:
    """The readings of a mark by one reader or more, weighed under stories.

    values: a row for each reader, in the unit of the tape.
    """

    def __init__(
        self, mark: Mark, spans: Sequence[Span], values: Sequence[Sequence[float]], tape: Tape
    ) -> None:
        self.mark, self.spans, self.values = mark, spans, values
        self.wide = [tape.bound(max(row[n] for row in values)) for n in range(len(spans))]
        self.narrow = max(tape.resolution, NOTHING) / 2
        self.laid = [tape.bound(mark.reads(s)) for s in mark.laid_out[:2]]
        self.scribed = SCRIBED[tape.unit]
        self.back = _turned_round([mark.row(s) for s in mark.laid_out[:2]])
        # What the layout may have added to a reading, and half as much again of its own for outliers.
        one, other = (each + self.scribed for each in self.laid)
        self.far = []
        for span, wide in zip(spans, self.wide, strict=True):
            (x, y), (a, b, c, d) = mark.row(span), self.back
            place = abs(x * a + y * c) * one + abs(x * b + y * d) * other
            self.far.append(1.5 * (wide + self.narrow) + place)

    def is_near(self, reader: int, n: int, shown: float) -> bool:
        return abs(self.values[reader][n] - shown) <= self.far[n]

    def logs(self, told: Sequence[tuple[Pair, Sequence[Sequence[float]]]]) -> list[float]:
        """The logarithm of each likelihood, by where the mark was meant to be and what tapes would show."""
        import numpy as np

        places = list(dict.fromkeys(pair for pair, _shows in told))
        rows = np.array([[self.mark.row(span, pair) for span in self.spans] for pair in places])
        nodes, prior = self._lattice()
        shift = (rows @ np.reshape(self.back, (2, 2)) @ nodes.T)[
            [places.index(pair) for pair, _shows in told]
        ]
        off = np.array(self.values)[None] - np.array([shows for _pair, shows in told])
        likelihood = self._density(off[..., None] - shift[:, None]).prod(axis=(1, 2)) @ prior
        found: list[float] = np.log(np.maximum(likelihood, 1e-300)).tolist()
        return found

    def _lattice(self) -> tuple[Array, Array]:
        """Nodes in both errors of the layout, and their shares; ends of a line share the tape's error."""
        import numpy as np

        steps = (np.arange(NODES) + 0.5) / NODES * 2 - 1
        wide = [each + self.scribed for each in self.laid]
        one, other = np.meshgrid(steps * wide[0], steps * wide[1], indexing="ij")
        if len(self.mark.steps) == 1:
            prior = self._of_a_line(one, other)
        else:
            prior = trapezoid(one, self.laid[0], self.scribed) * trapezoid(other, self.laid[1], self.scribed)
        share = prior / prior.sum()
        used = share.ravel() > 0
        return np.stack([one.ravel(), other.ravel()], axis=1)[used], share.ravel()[used]

    def _of_a_line(self, one: Array, other: Array) -> Array:
        """Both ends share the tape's error and have a scriber's each: the length of what is common to all."""
        import numpy as np

        low = np.maximum(np.maximum(one, other) - self.scribed, -self.laid[0])
        high = np.minimum(np.minimum(one, other) + self.scribed, self.laid[0])
        return np.asarray(np.maximum(high - low, 0.0))

    def _density(self, off: Array) -> Array:
        """A trapezoid, on a low floor twice as wide, which is what outliers leave of a story."""
        import numpy as np

        wide = np.maximum(self.wide, self.narrow)[:, None]
        narrow = np.minimum(self.wide, self.narrow)[:, None]
        height, reach = 0.5 / wide, wide + narrow
        np.abs(off, out=off)
        floor = np.where(off < 2 * reach, OUTLIERS * height, BEYOND * height)
        np.subtract(reach, off, out=off)
        off *= height / (2 * narrow)
        return np.asarray(np.minimum(np.maximum(off, floor, out=off), height, out=off))


def _turned_round(rows: Sequence[Pair]) -> tuple[float, float, float, float]:
    """From what is added along the dimensions of the layout to where the mark then stands."""
    (a, b), (c, d) = rows
    determinant = a * d - b * c
    return (d / determinant, -b / determinant, -c / determinant, a / determinant)


def trapezoid(off: Array, one: Any, other: Any) -> Array:
    """The density of the sum of two even errors.

    Args:
        off: where, in a unit of length.
        one: the first is off by up to this, to either side.
        other: the second likewise.
    Returns: one over that unit.

    Valid where neither is nothing. Source: GUM 4.3.7; GUM 4.3.9 (trapezoid of two rectangles)
    """
    import numpy as np

    narrow, wide = np.minimum(one, other), np.maximum(one, other)
    return np.asarray(np.clip((wide + narrow - np.abs(off)) / (2 * narrow), 0.0, 1.0) / (2 * wide))

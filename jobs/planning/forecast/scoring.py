"""How earlier dates were kept, and by how much the spread of the next ones is corrected for it."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

# So many promises as if kept just as said, before the score moves the spread.
WEIGHT = 10
NARROWEST, WIDEST = 0.5, 3.0


@dataclass(frozen=True, slots=True)
class Given:
    """A date that was given out, with what was thought of it then, and when the car was ready."""

    p50: dt.date
    p80: dt.date
    ready: dt.date

    @property
    def late_by(self) -> float:
        """How late beside P50, in units of the distance from P50 to P80; half a day at least."""
        return (self.ready - self.p50).days / max(0.5, (self.p80 - self.p50).days)


@dataclass(frozen=True, slots=True)
class Score:
    """Of `count` cars `kept50` were ready by P50 and `kept80` by P80; spreads are multiplied by `factor`."""

    count: int
    kept50: int
    kept80: int
    factor: float

    @property
    def share50(self) -> float:
        return self.kept50 / self.count if self.count else 0.0

    @property
    def share80(self) -> float:
        return self.kept80 / self.count if self.count else 0.0


def scored(given: Iterable[Given]) -> Score:
    """The score of all dates; without any, nothing is corrected.

    The factor is where the 80 % quantile of lateness lies beside where it was said to lie, drawn towards 1.
    """
    rows = list(given)
    if not rows:
        return Score(0, 0, 0, 1.0)
    late = sorted(one.late_by for one in rows)
    at80 = late[min(len(late), max(1, ceil(0.8 * len(late)))) - 1]
    factor = (len(rows) * max(0.0, at80) + WEIGHT) / (len(rows) + WEIGHT)
    return Score(
        len(rows),
        sum(one.ready <= one.p50 for one in rows),
        sum(one.ready <= one.p80 for one in rows),
        min(WIDEST, max(NARROWEST, factor)),
    )

"""Which usual slip explains the readings of a mark, if the evidence singles one out.

Every story of one slip says what the tape would show. A mark is not laid out perfectly either, so a story is
weighed with both: the readings about the place, the place about where the story puts it. A slip is named when
its best story fits, is far likelier than that of a good mark, and far likelier than that of every other slip.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shop.engineering.layout.plane import Datum, Mark, Pair, Span, information
from shop.engineering.layout.slip_kinds import Slip, Story, Where, stories
from shop.engineering.layout.tapes import Tape

# Logarithms of likelihood ratios: a slip against a good mark (150 to 1), against another slip (9 to 1).
ABOVE_GOOD = 5.0
ABOVE_OTHERS = 2.2
# Where the same slip was made is told more guardedly: 400 to 1, for two readings may err together.
ABOVE_PLACES = 6.0
# A scribed or punched mark is off by up to this, besides what the tape adds. Common practice, no source.
SCRIBED = {"in": 1 / 64, "mm": 0.4}
# The 99.9 % points of chi-squared for 1 to 8 degrees of freedom, as tables print them.
CHI_SQUARED_999 = (10.828, 13.816, 16.266, 18.467, 20.515, 22.458, 24.322, 26.124)


@dataclass(frozen=True)
class NamedSlip:
    """The slip that explains the readings.

    story: the likeliest; where: None where it cannot be told whether it was made in laying out or reading.
    datum: from which it was made; empty where that cannot be told, or where it goes through all edges.
    """

    story: Story
    where: Where | None
    datum: str

    @property
    def slip(self) -> Slip:
        return self.story.slip


def name_slip(
    mark: Mark, spans: Sequence[Span], values: Sequence[float], datums: Sequence[Datum], tape: Tape
) -> NamedSlip | None:
    """Name the usual slip that explains the readings of a mark.

    Args:
        mark: as drawn.
        spans: what was read.
        values: what the tape showed, in its unit.
        datums: of its view.
        tape: it was read with.
    Returns: the slip; None where the mark is good, or no single slip stands out.

    Valid for one slip at a time and readings with independent errors.
    Source: GUM 5.1.2; HOUSE (likelihood ratios)
    """
    scale = _Scale(mark, spans, values, tape)
    true, in_place = [mark.reads(span) for span in spans], (0.0, 0.0)
    if scale.misfit(in_place, true) < 2 * ABOVE_GOOD:
        return None
    good = scale.log_likelihood(in_place, true)
    best: dict[tuple[Slip, bool, str], tuple[float, Story]] = {}
    for story in stories(mark, spans, datums, tape, near=scale.is_near):
        if not all(scale.is_near(n, shown) for n, shown in enumerate(story.shows)):
            continue
        found = scale.log_likelihood(story.moved, story.shows)
        key = (story.slip, story.is_of_the_mark, story.datum)
        if key not in best or found > best[key][0]:
            best[key] = (found, story)
    return _singled_out(best, good, scale)


def _singled_out(
    best: dict[tuple[Slip, bool, str], tuple[float, Story]], good: float, scale: "_Scale"
) -> NamedSlip | None:
    if not best:
        return None
    top, story = max(best.values(), key=lambda each: each[0])
    others = max(
        (found for (slip, *_k), (found, _s) in best.items() if slip != story.slip), default=-math.inf
    )
    fits = scale.misfit(story.moved, story.shows) <= CHI_SQUARED_999[min(len(scale.values), 8) - 1]
    if not fits or top - good < ABOVE_GOOD or top - others < ABOVE_OTHERS:
        return None
    near = [s for found, s in best.values() if s.slip == story.slip and top - found < ABOVE_PLACES]
    of_mark, from_datums = {s.is_of_the_mark for s in near}, {s.datum for s in near}
    return NamedSlip(
        story,
        story.where if len(of_mark) == 1 else None,
        story.datum if len(from_datums) == 1 else "",
    )


class _Scale:
    """How likely readings are when the mark was meant to stand somewhere and the tape to show something."""

    def __init__(self, mark: Mark, spans: Sequence[Span], values: Sequence[float], tape: Tape) -> None:
        self.mark, self.spans, self.values = mark, spans, values
        self.u = [tape.u(value) for value in values]
        self.weights = [1 / (u * u) for u in self.u]
        scribed = SCRIBED[tape.unit] / math.sqrt(3)
        laid = [(mark.row(s), math.hypot(tape.u(mark.reads(s)), scribed)) for s in mark.laid_out]
        self.place = information(laid)
        # A reading may be off by its own error and by that of the place; no story survives six times both.
        widest = math.hypot(scribed, max(u for _row, u in laid)) * 3
        self.far = [6 * math.hypot(u, widest) for u in self.u]

    def is_near(self, n: int, shown: float) -> bool:
        return abs(self.values[n] - shown) <= self.far[n]

    def misfit(self, moved: Pair, shows: Sequence[float]) -> float:
        """The squared distance of the readings from what a story says, in standard deviations."""
        rows = [self.mark.row(span, moved) for span in self.spans]
        return self._misfit(rows, shows)[0]

    def log_likelihood(self, moved: Pair, shows: Sequence[float]) -> float:
        """Up to a constant that is the same for all stories about the same readings."""
        rows = [self.mark.row(span, moved) for span in self.spans]
        misfit, determinant = self._misfit(rows, shows)
        return -misfit / 2 - math.log(determinant) / 2

    def _misfit(self, rows: Sequence[Pair], shows: Sequence[float]) -> tuple[float, float]:
        """By the identity of Woodbury, so that only two by two is turned round."""
        total = gx = gy = 0.0
        a, b, c = self.place
        place = a * c - b * b
        for (x, y), v, shown, w in zip(rows, self.values, shows, self.weights, strict=True):
            d = v - shown
            total += w * d * d
            gx, gy = gx + w * x * d, gy + w * y * d
            a, b, c = a + w * x * x, b + w * x * y, c + w * y * y
        determinant = a * c - b * b
        taken = (c * gx * gx - 2 * b * gx * gy + a * gy * gy) / determinant
        return total - taken, determinant / place

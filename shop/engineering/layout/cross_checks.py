"""Cross-checks: which further readings pin a mark, and which would be of no use.

Chosen one after another: the reading that leaves the mark best pinned even when the worst of the others turns
out to be wrong, so that no single slip of the tape stays unseen.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shop.engineering.layout.plane import (
    NEARLY_PARALLEL,
    Datum,
    LayoutError,
    Mark,
    Pair,
    Span,
    information,
    spread,
)
from shop.engineering.layout.tapes import Tape
from shop.engineering.words import say as _

# Two for a hole, one for either end of a line: with those of its layout any one reading may be wrong.
CHECKS = 2
SHORTEST = {"in": 1.0, "mm": 25.0}
ABOUT_AS_MUCH = 2.0

# A reading with its row of the Jacobian and its standard uncertainty.
Weighed = tuple[Span, tuple[Pair, float]]


@dataclass(frozen=True)
class Useless:
    """A reading that would not help, and the one beside which it runs; none where it runs along the line."""

    span: Span
    beside: Span | None


@dataclass(frozen=True)
class CheckPlan:
    """What is read of a mark.

    laid_out: from the datums that it is laid out from.
    checks: from others.
    useless: those that would not help, with the reason.
    worst: the standard deviation in the worst direction by all that is read, in the unit of the tape.
    worst_without_one: the same when the reading that is missed most turns out to be wrong; infinite where the
        rest does not pin the mark.
    """

    mark: Mark
    laid_out: tuple[Span, ...]
    checks: tuple[Span, ...]
    useless: tuple[Useless, ...]
    worst: float
    worst_without_one: float

    @property
    def spans(self) -> tuple[Span, ...]:
        return (*self.laid_out, *self.checks)

    @property
    def bears_one_slip(self) -> bool:
        """Whether the mark stays pinned without any one of the readings."""
        return math.isfinite(self.worst_without_one)


def plan_checks(mark: Mark, datums: Sequence[Datum], tape: Tape, *, most: int = CHECKS) -> CheckPlan:
    """Choose the cross-checks of a mark.

    Args:
        mark: with the steps that lay it out.
        datums: those of its view.
        tape: what is read with.
        most: how many cross-checks are asked beside the readings of the layout.
    Returns: the plan; with fewer checks where no more of them help.
    Raises:
        LayoutError: when the steps themselves do not place the mark.

    Valid for marks of a plane view. Source: GUM 5.1.2; HOUSE (best pinned without the worst reading)
    """
    if mark.fault():
        raise LayoutError(_("%(code)s is not placed by what it is laid out from", code=mark.code))
    laid = _told(mark, mark.laid_out, tape)
    open_spans = [
        (span, weighed)
        for span, weighed in _told(mark, _candidates(mark, datums, tape), tape)
        if abs(weighed[0][0]) + abs(weighed[0][1]) > NEARLY_PARALLEL
    ]
    chosen: list[Weighed] = []
    while open_spans and len(chosen) < most:
        taken = [w for _span, w in (*laid, *chosen)]
        best = _best(open_spans, taken, {span.datum.code for span, _w in (*laid, *chosen)})
        chosen.append(best)
        open_spans.remove(best)
    kept = [*laid, *chosen]
    return CheckPlan(
        mark,
        mark.laid_out,
        tuple(span for span, _w in chosen),
        tuple(_useless(mark, datums, tape, kept)),
        spread(*information([w for _span, w in kept])),
        _without_one([w for _span, w in kept]),
    )


def _told(mark: Mark, spans: Sequence[Span], tape: Tape) -> list[Weighed]:
    return [(span, (mark.row(span), tape.u(mark.reads(span)))) for span in spans]


def _candidates(mark: Mark, datums: Sequence[Datum], tape: Tape) -> list[Span]:
    used = {(span.datum.code, span.end) for span in mark.laid_out}
    every = (Span(datum, end) for datum in datums for end in range(len(mark.ends)))
    return [
        span
        for span in every
        if (span.datum.code, span.end) not in used and mark.reads(span) >= SHORTEST[tape.unit]
    ]


def _best(open_spans: Sequence[Weighed], taken: Sequence[tuple[Pair, float]], used: set[str]) -> Weighed:
    """The one that helps most; from a datum of its own where that helps about as much.

    Somebody who reads from one datum twice makes the same slip twice.
    """
    merits = [(_merit([*taken, weighed]), n) for n, (_span, weighed) in enumerate(open_spans)]
    (least, _all), _n = min(merits)
    fresh = [
        (merit, n)
        for merit, n in merits
        if open_spans[n][0].datum.code not in used and merit[0] <= ABOUT_AS_MUCH * least
    ]
    return open_spans[min(fresh or merits)[1]]


def _merit(weighed: Sequence[tuple[Pair, float]]) -> tuple[float, float]:
    """The less the better: pinned without the worst reading, then with all of them."""
    total = information(weighed)
    return _without_one(weighed, total), spread(*total)


def _without_one(
    weighed: Sequence[tuple[Pair, float]], total: tuple[float, float, float] | None = None
) -> float:
    a, b, c = total or information(weighed)
    worst = 0.0
    for (x, y), u in weighed:
        weight = 1 / (u * u)
        left = spread(a - weight * x * x, b - weight * x * y, c - weight * y * y)
        # What is left of a direction by rounding pins nothing.
        worst = max(worst, left if left < 1e4 * u else math.inf)
    return worst


def _useless(mark: Mark, datums: Sequence[Datum], tape: Tape, kept: Sequence[Weighed]) -> list[Useless]:
    """Where nothing is read because a tape from there runs beside one that is read already."""
    read = {(span.datum.code, span.end) for span, _w in kept}
    found = []
    for span in _candidates(mark, datums, tape):
        row = mark.row(span)
        if (span.datum.code, span.end) in read:
            continue
        if mark.is_line:
            if abs(row[span.end]) < NEARLY_PARALLEL:
                found.append(Useless(span, None))
            continue
        beside = next(
            (other for other, w in kept if abs(row[0] * w[0][1] - row[1] * w[0][0]) < NEARLY_PARALLEL), None
        )
        if beside is not None:
            found.append(Useless(span, beside))
    return found

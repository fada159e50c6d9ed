"""Whether a mark stands where it should, by all readings of it together, and how far it may be off."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import fmean

from shop.engineering.decision.rules import Rule
from shop.engineering.decision.thresholds import Verdict, thresholds_for
from shop.engineering.layout.cross_checks import CheckPlan
from shop.engineering.layout.plane import Datum, Pair, Span, fitted, information
from shop.engineering.layout.slip_kinds import Where
from shop.engineering.layout.slips import NamedSlip, name_slip
from shop.engineering.layout.tapes import Tape
from shop.engineering.limits.zone import Limits
from shop.engineering.quantities.measures import UNITS, Quantity

# Lengths are rounded to this before they are judged, a ten-thousandth of what a tape shows.
EXACT = 10**6
# The 99.9 % points of chi-squared for 1 to 8 degrees of freedom, as tables print them.
CHI_SQUARED_999 = (10.828, 13.816, 16.266, 18.467, 20.515, 22.458, 24.322, 26.124)
ORDER = (Verdict.DOES_NOT_CONFORM, Verdict.TOO_CLOSE, Verdict.CONFORMS)


@dataclass(frozen=True)
class Offset:
    """How far a mark is off along one freedom: for a hole x or y, for a line one end square to it.

    off and expanded: in the unit of the tape; expanded is 2u.
    """

    freedom: int
    off: float
    expanded: float
    verdict: Verdict


@dataclass(frozen=True)
class MarkCheck:
    """What the readings of a mark say together.

    agrees: whether one place of the mark explains all of them.
    apart: two datums whose readings no point could have together.
    times: how often each was read; `values` are then the means.
    """

    plan: CheckPlan
    tape: Tape
    values: tuple[float, ...]
    verdict: Verdict
    offsets: tuple[Offset, ...]
    agrees: bool
    slip: NamedSlip | None
    apart: tuple[Span, Span] | None
    times: int = 1

    @property
    def moved(self) -> Pair:
        """Where it stands beside where it should."""
        return (self.offsets[0].off, self.offsets[1].off)

    def is_alike(self, row: Sequence[float]) -> bool:
        """Whether other readings could be of the same mark: each within three times what both may differ."""
        return all(
            abs(one - other) <= 3 * math.sqrt(2) * self.tape.u(one)
            for one, other in zip(self.values, row, strict=True)
        )

    @property
    def is_only_misread(self) -> bool:
        """Whether the mark is good and one reading of it is not."""
        return self.slip is not None and self.slip.where == Where.READ


def check_mark(
    plan: CheckPlan,
    values: Sequence[float],
    datums: Sequence[Datum],
    tape: Tape,
    rule: Rule,
    *,
    before: Sequence[Sequence[float]] = (),
) -> MarkCheck:
    """Judge a mark by the readings from its datums and of its cross-checks.

    Args:
        plan: what is read of it, in that order.
        values: what the tape showed, in its unit.
        datums: of its view.
        tape: it was read with.
        rule: how it is decided.
        before: the same readings as somebody took them before, a row each; all of them count.
    Returns: the verdict with all that it rests on. Readings that contradict each other prove nothing; a mark
        does not conform when they agree on a place beyond its tolerance, or on one slip that put it there.

    Valid for readings with independent errors, the tape's own error never less than once.
    Source: ISO14253-1; JCGM106 8.3; GUM 5.1.2
    """
    mark, spans, every = plan.mark, plan.spans, (*before, tuple(values))
    mean, seen = [fmean(each) for each in zip(*every, strict=True)], tape.read_often(len(every))
    moved = fitted(mark, spans, mean)
    agrees = moved is not None and _misfit(plan, mean, moved, seen) <= _most(len(spans))
    offsets = judged(plan, moved if agrees and moved is not None else (0.0, 0.0), seen, rule)
    verdict = min((each.verdict for each in offsets), key=ORDER.index) if agrees else Verdict.TOO_CLOSE
    slip = None
    if verdict != Verdict.CONFORMS:
        slip = name_slip(mark, spans, every, datums, tape)
    if slip is not None and slip.where not in (None, Where.READ) and not agrees:
        offsets = judged(plan, slip.story.moved, seen, rule)
        verdict = min((each.verdict for each in offsets), key=ORDER.index)
    elif slip is not None and slip.where == Where.READ:
        verdict = Verdict.TOO_CLOSE
    apart = None if agrees else impossible(spans, mean, tape)
    return MarkCheck(plan, tape, tuple(mean), verdict, offsets, agrees, slip, apart, len(every))


def judged(plan: CheckPlan, moved: Pair, tape: Tape, rule: Rule) -> tuple[Offset, ...]:
    """Each freedom of a mark against its tolerance.

    Args:
        plan: what is read of it.
        moved: how far it is off.
        tape: it was read with.
        rule: how it is decided.
    Returns: one for x and one for y of a hole; one for each end of a line.

    Valid as `thresholds_for` is. Source: ISO14253-1; GUM 5.1.2
    """
    found = []
    for freedom, u in enumerate(uncertainties(plan, tape)):
        if math.isinf(u):
            found.append(Offset(freedom, moved[freedom], math.inf, Verdict.TOO_CLOSE))
            continue
        limits = _limits(plan.mark.tolerance, tape.unit)
        size = UNITS[tape.unit][1]
        variance = (Fraction(round(u * EXACT), EXACT) * size) ** 2
        off = Quantity(Fraction(round(moved[freedom] * EXACT), EXACT), tape.unit)
        verdict = thresholds_for(limits, variance, rule).judge(off.canonical)
        found.append(Offset(freedom, moved[freedom], 2 * u, verdict))
    return tuple(found)


def uncertainties(plan: CheckPlan, tape: Tape) -> Pair:
    """The standard uncertainty of a mark's place along either freedom.

    Args:
        plan: what is read of it.
        tape: it is read with.
    Returns: in the unit of the tape; the tape's own error is not averaged away by reading more with it.

    Valid for marks that their readings pin. Source: GUM 5.1.2; HOUSE (a tape's own error counts once, whole)
    """
    mark = plan.mark
    a, b, c = information([(mark.row(s), tape.u(mark.reads(s))) for s in plan.spans])
    determinant = a * c - b * b
    if determinant <= 1e-12 * max(a * c, 1e-300):
        return (math.inf, math.inf)
    own = tape.own(min((mark.reads(s) for s in plan.spans), default=0.0))
    return (max(math.sqrt(c / determinant), own), max(math.sqrt(a / determinant), own))


def impossible(spans: Sequence[Span], values: Sequence[float], tape: Tape) -> tuple[Span, Span] | None:
    """Two readings that no point could have together, by the triangle inequality.

    Args:
        spans: what was read.
        values: what the tape showed.
        tape: it was read with.
    Returns: the first such pair of readings from two points to one end; None where there is none.

    Valid beyond what the tape may be off, 3u of both. Source: HOUSE (triangle inequality)
    """
    for n, (one, first) in enumerate(zip(spans, values, strict=True)):
        for other, second in list(zip(spans, values, strict=True))[n + 1 :]:
            if one.datum.is_edge or other.datum.is_edge or one.end != other.end:
                continue
            apart = math.dist(one.datum.at, other.datum.at)
            slack = 3 * math.hypot(tape.u(first), tape.u(second))
            if first + second < apart - slack or abs(first - second) > apart + slack:
                return one, other
    return None


def _limits(tolerance: float, unit: str) -> Limits:
    exact = Fraction(round(tolerance * EXACT), EXACT)
    high, low = Quantity(exact, unit), Quantity(-exact, unit)
    return Limits(Quantity(Fraction(0), unit), low, high, f"±{tolerance} {unit}", unit)


def _misfit(plan: CheckPlan, values: Sequence[float], moved: Pair, tape: Tape) -> float:
    left = ((v - plan.mark.reads(s, moved)) / tape.u(v) for s, v in zip(plan.spans, values, strict=True))
    return sum(each * each for each in left)


def _most(count: int) -> float:
    """What chance alone leaves of a fit at the most; nothing is left where there is nothing to spare."""
    return CHI_SQUARED_999[min(count - 2, 8) - 1] if count > 2 else math.inf

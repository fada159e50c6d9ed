"""The usual slips of layout, each with what it does to the readings of a mark."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from shop.engineering.layout.plane import NEARLY_PARALLEL, NOTHING, Datum, Mark, Pair, Span, Step, fitted
from shop.engineering.layout.tapes import Tape
from shop.engineering.words import Words
from shop.engineering.words import say as _

Near = Callable[[int, float], bool]


class Slip(StrEnum):
    """A slip that people make with a tape."""

    BURNED = "burned"
    WRONG_DATUM = "wrong_datum"
    WRONG_SIDE = "wrong_side"
    EDGE_FOR_CENTRE = "edge_for_centre"
    DIVISION = "division"
    HOOKED = "hooked"
    TRANSPOSED = "transposed"


class Where(StrEnum):
    """Whether it was made in laying out, in reading, or both times the same way."""

    LAID_OUT = "laid_out"
    READ = "read"
    BOTH = "both"


@dataclass(frozen=True)
class Story:
    """One slip at one place, with what the tape would then show and where the mark would then stand.

    datum: from which the slip was made; empty where it goes through all edges.
    """

    slip: Slip
    where: Where
    datum: str
    moved: Pair
    shows: tuple[float, ...]

    @property
    def is_of_the_mark(self) -> bool:
        """Whether the mark itself stands wrong."""
        return self.where != Where.READ


def slip_words(slip: Slip, tape: Tape) -> Words:
    """A slip in the words of the shop.

    Args:
        slip: the slip.
        tape: it was made with.
    Returns: "burned an inch".

    Valid for every slip. Source: HOUSE (trade terms)
    """
    return {
        Slip.BURNED: _("burned an inch") if tape.unit == "in" else _("burned 100 mm"),
        Slip.WRONG_DATUM: _("measured from the wrong datum"),
        Slip.WRONG_SIDE: _("laid out on the wrong side"),
        Slip.EDGE_FOR_CENTRE: _("edge taken for the centre of the hole"),
        Slip.DIVISION: _("one division of the tape misread"),
        Slip.HOOKED: _("tape hooked instead of butted"),
        Slip.TRANSPOSED: _("digits transposed"),
    }[slip]


def transposed(value: float) -> list[float]:
    """A figure with two neighbouring digits of its whole part changed over, its fraction kept.

    Args:
        value: a length from 0.
    Returns: 41 1/4 for 14 1/4; every figure that differs, none that begins with 0.

    Valid for every length. Source: HOUSE (how figures are read out wrong)
    """
    whole = int(value + NOTHING)
    digits, rest = str(whole), value - whole
    changed = {digits[:n] + digits[n + 1] + digits[n] + digits[n + 2 :] for n in range(len(digits) - 1)}
    return [int(text) + rest for text in sorted(changed) if text[0] != "0" and text != digits]


def stories(
    mark: Mark,
    spans: Sequence[Span],
    datums: Sequence[Datum],
    tape: Tape,
    *,
    near: Near = lambda _n, _shown: True,
) -> Iterator[Story]:
    """Every single slip that could have been made with a mark.

    Args:
        mark: as drawn.
        spans: what is read of it, those of its layout first.
        datums: of its view.
        tape: it is read with.
        near: whether a reading, by its number, could have come of what the tape would show. Stories may be
            left out in which one could not that has nothing to do with the slip.
    Returns: the stories, those left out that cannot come about.

    Valid for one slip at a time. Source: HOUSE (the slips that shops know)
    """
    true = tuple(mark.reads(span) for span in spans)
    for step in mark.steps:
        for slip, moved in _moves(mark, step, datums, tape):
            over_arcs = slip == Slip.WRONG_SIDE and not step.datum.is_edge
            datum = "" if over_arcs else step.datum.code
            yield from _of_layout(mark, spans, true, slip, moved, step.spans, datum, near)
    edges = tuple(span for span in mark.laid_out if span.datum.is_edge)
    hooked = placed(mark, dict.fromkeys(edges, -tape.hook)) if edges else None
    if hooked is not None:
        yield from _of_layout(mark, spans, true, Slip.HOOKED, hooked, edges, "", near)
    yield from _of_reading(mark, spans, true, datums, tape, near)


def amounts(mark: Mark, span: Span, tape: Tape) -> Iterator[tuple[Slip, float]]:
    """By how much a slip makes one dimension longer, in laying out or in reading.

    Args:
        mark: as drawn.
        span: the dimension.
        tape: it is made with.
    Returns: slip and difference, in the unit of the tape.

    Valid for every dimension. Source: HOUSE (the slips that shops know)
    """
    for by in (tape.burned, -tape.burned):
        yield Slip.BURNED, by
    for division in tape.divisions:
        yield Slip.DIVISION, division
        yield Slip.DIVISION, -division
    if mark.radius:
        yield Slip.EDGE_FOR_CENTRE, mark.radius
        yield Slip.EDGE_FOR_CENTRE, -mark.radius
    nominal = mark.reads(span)
    for figure in transposed(nominal):
        yield Slip.TRANSPOSED, figure - nominal


def placed(mark: Mark, longer: Mapping[Span, float]) -> Pair | None:
    """Where a mark stands when some dimensions of its layout are longer than drawn.

    Args:
        mark: as drawn.
        longer: by how much, for those that are; below the negative of its length an edge is crossed.
    Returns: how far it is off along either freedom; None where there is no such place.

    Valid for marks that their layout places. Source: HOUSE (the dimensions fix the mark)
    """
    first, second = mark.laid_out[:2]
    by = (longer.get(first, 0.0), longer.get(second, 0.0))
    if not (first.datum.is_edge and second.datum.is_edge):
        values = [mark.reads(first) + by[0], mark.reads(second) + by[1]]
        return None if min(values) <= 0 else fitted(mark, (first, second), values)
    (a, b), (c, d) = mark.row(first), mark.row(second)
    determinant = a * d - b * c
    return ((by[0] * d - by[1] * b) / determinant, (by[1] * a - by[0] * c) / determinant)


def _of_layout(
    mark: Mark,
    spans: Sequence[Span],
    true: tuple[float, ...],
    slip: Slip,
    moved: Pair,
    made_in: tuple[Span, ...],
    datum: str,
    near: Near,
) -> Iterator[Story]:
    """A mark that stands where a slip put it: read truly, or read with the same slip once more."""
    shows = []
    for n, span in enumerate(spans):
        shows.append(mark.reads(span, moved))
        if span not in made_in and not near(n, shows[n]):
            return
    yield Story(slip, Where.LAID_OUT, datum, moved, tuple(shows))
    if slip != Slip.WRONG_SIDE:
        again = (t if span in made_in else v for span, t, v in zip(spans, true, shows, strict=True))
        yield Story(slip, Where.BOTH, datum, moved, tuple(again))


def _moves(mark: Mark, step: Step, datums: Sequence[Datum], tape: Tape) -> Iterator[tuple[Slip, Pair]]:
    """Where a slip in one step of the layout puts the mark."""
    for slip, by in amounts(mark, step.spans[0], tape):
        if mark.reads(step.spans[0]) + by > 0:
            moved = placed(mark, dict.fromkeys(step.spans, by))
            if moved is not None:
                yield slip, moved
    for other in _like(mark, step.spans[0], datums):
        moved = _from_another(mark, step, other)
        if moved is not None:
            yield Slip.WRONG_DATUM, moved
    moved = _mirrored(mark, step)
    if moved is not None:
        yield Slip.WRONG_SIDE, moved


def _like(mark: Mark, span: Span, datums: Sequence[Datum]) -> Iterator[Datum]:
    """The datums that could be taken for that of a dimension: of the same form, and lying alike."""
    for other in datums:
        if other.code == span.datum.code or other.is_edge != span.datum.is_edge:
            continue
        if not other.is_edge or abs(_turn(other, span.datum)) > 0.98:
            yield other


def _turn(one: Datum, other: Datum) -> float:
    """1 for edges that run the same way, -1 for opposite ones."""
    return one.normal[0] * other.normal[0] + one.normal[1] * other.normal[1]


def _from_another(mark: Mark, step: Step, other: Datum) -> Pair | None:
    """The same figures, measured in the same sense from another datum."""
    if other.is_edge:
        return placed(mark, {span: _gap(mark, span, other) for span in step.spans})
    spans = [Span(other, span.end) if span in step.spans else span for span in mark.laid_out]
    return fitted(mark, spans, [mark.reads(span) for span in mark.laid_out])


def _gap(mark: Mark, span: Span, other: Datum) -> float:
    """How far another edge lies from that of a dimension, towards the mark."""
    point = mark.ends[span.end]
    own = span.datum.offset(point)
    there = other.offset(point) * (1 if _turn(other, span.datum) > 0 else -1)
    return own - there if own >= 0 else there - own


def _mirrored(mark: Mark, step: Step) -> Pair | None:
    """The mark on the other side of an edge, or of the way between the points that it is laid out from."""
    if step.datum.is_edge:
        return placed(mark, {span: -2 * mark.reads(span) for span in step.spans})
    if mark.is_line or step is mark.steps[-1] or mark.steps[-1].datum.is_edge:
        return None
    way = Datum("", step.datum.at, mark.steps[-1].datum.at)
    off = way.offset(mark.ends[0])
    return (-2 * off * way.normal[0], -2 * off * way.normal[1])


def _of_reading(
    mark: Mark,
    spans: Sequence[Span],
    true: tuple[float, ...],
    datums: Sequence[Datum],
    tape: Tape,
    near: Near,
) -> Iterator[Story]:
    """The mark stands right; one reading is wrong, or both from one datum, or by the hook all from edges."""
    groups: list[tuple[Span, ...]] = [(span,) for span in spans]
    groups += [
        pair for datum in datums if len(pair := tuple(s for s in spans if s.datum.code == datum.code)) == 2
    ]
    fits = [near(n, shown) for n, shown in enumerate(true)]
    for group in groups:
        if not all(fit or span in group for span, fit in zip(spans, fits, strict=True)):
            continue
        for slip, by in _misread(mark, group[0], datums, tape):
            shows = tuple(t + by if s in group else t for s, t in zip(spans, true, strict=True))
            yield Story(slip, Where.READ, group[0].datum.code, (0.0, 0.0), shows)
    if any(span.datum.is_edge for span in spans):
        shows = tuple(t + tape.hook if s.datum.is_edge else t for s, t in zip(spans, true, strict=True))
        yield Story(Slip.HOOKED, Where.READ, "", (0.0, 0.0), shows)


def _misread(mark: Mark, span: Span, datums: Sequence[Datum], tape: Tape) -> Iterator[tuple[Slip, float]]:
    nominal = mark.reads(span)
    yield from (found for found in amounts(mark, span, tape) if nominal + found[1] > 0)
    for other in _like(mark, span, datums):
        if abs(_along(mark, span, other)) > NEARLY_PARALLEL:
            yield Slip.WRONG_DATUM, mark.reads(Span(other, span.end)) - nominal


def _along(mark: Mark, span: Span, other: Datum) -> float:
    own, there = mark.row(span), mark.row(Span(other, span.end))
    return own[0] * there[0] + own[1] * there[1]

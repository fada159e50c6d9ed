"""Where one slip in laying out puts a mark, and what it could be mistaken for."""

import math
from collections.abc import Iterator, Mapping, Sequence

from shop.engineering.layout.plane import Datum, Mark, Pair, Span, Step, fitted
from shop.engineering.layout.slip_kinds import Amount, Slip, amounts
from shop.engineering.layout.tapes import Tape

# A slip with where it puts the mark, and its share of the ways to make that slip in this step.
Move = tuple[Slip, Pair, float]
ALIKE = 0.98


def moves(mark: Mark, step: Step, datums: Sequence[Datum], tape: Tape) -> Iterator[Move]:
    """Where a slip in one step of the layout puts the mark.

    Args:
        mark: as drawn.
        step: in which it is made.
        datums: of its view.
        tape: it is laid out with.
    Returns: the slips that can be made there.

    Valid for marks that their layout places. Source: HOUSE (the slips that shops know)
    """
    first, nominal = step.spans[0], mark.reads(step.spans[0])
    for slip, by, share in amounts(mark, first, tape):
        moved = placed(mark, dict.fromkeys(step.spans, by)) if nominal + by > 0 else None
        if moved is not None:
            yield slip, moved, share
    others = like(first, datums)
    for other in others:
        moved = _from_another(mark, step, other)
        if moved is not None:
            yield Slip.WRONG_DATUM, moved, 1 / len(others)
    moved = _mirrored(mark, step)
    if moved is not None:
        yield Slip.WRONG_SIDE, moved, 1.0


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
        values = (mark.reads(first) + by[0], mark.reads(second) + by[1])
        return None if min(values) <= 0 else _struck(mark, (first, second), values)
    (a, b), (c, d) = mark.row(first), mark.row(second)
    determinant = a * d - b * c
    return ((by[0] * d - by[1] * b) / determinant, (by[1] * a - by[0] * c) / determinant)


def _struck(mark: Mark, spans: tuple[Span, Span], values: tuple[float, float]) -> Pair | None:
    """Where two arcs cross nearest to the mark as drawn; by steps where one of them is no arc."""
    one, other = spans[0].datum, spans[1].datum
    if one.is_edge or other.is_edge or mark.is_line:
        return fitted(mark, spans, values)
    dx, dy = other.at[0] - one.at[0], other.at[1] - one.at[1]
    apart = math.hypot(dx, dy)
    if not abs(values[0] - values[1]) < apart < values[0] + values[1]:
        return None
    along = (values[0] ** 2 - values[1] ** 2 + apart**2) / (2 * apart)
    aside = math.sqrt(max(values[0] ** 2 - along**2, 0.0))
    x, y = mark.ends[0]
    at_x, at_y = one.at[0] + along * dx / apart - x, one.at[1] + along * dy / apart - y
    over_x, over_y = -aside * dy / apart, aside * dx / apart
    side = -1.0 if at_x * over_x + at_y * over_y > 0 else 1.0
    return (at_x + side * over_x, at_y + side * over_y)


def like(span: Span, datums: Sequence[Datum]) -> list[Datum]:
    """The datums that could be taken for that of a dimension.

    Args:
        span: the dimension.
        datums: of the view.
    Returns: others of the same form, and lying alike.

    Valid in one view. Source: HOUSE (the slips that shops know)
    """
    own = span.datum
    return [
        other
        for other in datums
        if other.code != own.code
        and other.is_edge == own.is_edge
        and (not other.is_edge or abs(_turn(other, own)) > ALIKE)
    ]


def misread(mark: Mark, span: Span, datums: Sequence[Datum], tape: Tape) -> Iterator[Amount]:
    """By how much a slip makes one reading longer than the tape would show.

    Args:
        mark: as drawn.
        span: the reading.
        datums: of its view.
        tape: it is read with.
    Returns: as `amounts`, those taken from another datum besides.

    Valid for readings of that mark. Source: HOUSE (the slips that shops know)
    """
    nominal = mark.reads(span)
    yield from (found for found in amounts(mark, span, tape) if nominal + found[1] > 0)
    own = mark.row(span)
    others = like(span, datums)
    for other in others:
        there = mark.row(Span(other, span.end))
        if abs(own[0] * there[0] + own[1] * there[1]) > math.sin(math.radians(10)):
            yield Slip.WRONG_DATUM, mark.reads(Span(other, span.end)) - nominal, 1 / len(others)


def _turn(one: Datum, other: Datum) -> float:
    """1 for edges that run the same way, -1 for opposite ones."""
    return one.normal[0] * other.normal[0] + one.normal[1] * other.normal[1]


def _from_another(mark: Mark, step: Step, other: Datum) -> Pair | None:
    """The same figures, measured in the same sense from another datum."""
    if other.is_edge:
        return placed(mark, {span: _gap(mark, span, other) for span in step.spans})
    spans = [Span(other, span.end) if span in step.spans else span for span in mark.laid_out]
    values = [mark.reads(span) for span in mark.laid_out]
    return _struck(mark, (spans[0], spans[1]), (values[0], values[1]))


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

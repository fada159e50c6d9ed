"""Every story of one slip with a mark: what the tapes of all readers would then show.

Each story has its share of its kind: a slip that may have been made in many ways explains less by any one of
them. Readers come one after another; the first may be the one who laid the mark out, and slip again alike.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from shop.engineering.layout.plane import Datum, Mark, Pair, Span
from shop.engineering.layout.slip_kinds import Slip, Where
from shop.engineering.layout.slip_places import misread, moves, placed
from shop.engineering.layout.tapes import Tape

# Whether the reading of a reader, by the numbers of both, could have come of what the tape would show.
Near = Callable[[int, int, float], bool]
# In laying out, in reading, or both times: each as often, for nothing is known of it.
PLACES = 3


@dataclass(frozen=True)
class Story:
    """One slip at one place, with what each reader's tape then shows and where the mark then stands.

    datum: from which the slip was made; empty where it goes through all edges.
    shows: a row for each reader.
    share: of its kind.
    """

    slip: Slip
    where: Where
    datum: str
    moved: Pair
    shows: tuple[tuple[float, ...], ...]
    share: float

    @property
    def is_of_the_mark(self) -> bool:
        """Whether the mark itself stands wrong."""
        return self.where != Where.READ


def stories(
    mark: Mark,
    spans: Sequence[Span],
    datums: Sequence[Datum],
    tape: Tape,
    *,
    readers: int = 1,
    near: Near = lambda _reader, _n, _shown: True,
) -> Iterator[Story]:
    """Every single slip that could have been made with a mark.

    Args:
        mark: as drawn.
        spans: what is read of it, those of its layout first.
        datums: of its view.
        tape: it is read with.
        readers: how many have read it.
        near: whether a reading could have come of what the tape would show; stories in which one could not
            are left out.
    Returns: the stories, those left out that cannot come about.

    Valid for one slip at a time. Source: HOUSE (the slips that shops know)
    """
    true = tuple(mark.reads(span) for span in spans)
    told = _Told(true, readers, near)
    for step in mark.steps:
        share = 1 / (len(mark.steps) * PLACES)
        for slip, moved, of_step in moves(mark, step, datums, tape):
            over_arcs = slip == Slip.WRONG_SIDE and not step.datum.is_edge
            datum = "" if over_arcs else step.datum.code
            yield from _of_layout(mark, spans, told, slip, moved, step.spans, datum, of_step * share)
    edges = tuple(span for span in mark.laid_out if span.datum.is_edge)
    hooked = placed(mark, dict.fromkeys(edges, -tape.hook)) if edges else None
    if hooked is not None:
        yield from _of_layout(mark, spans, told, Slip.HOOKED, hooked, edges, "", 1 / PLACES)
    yield from _of_reading(mark, spans, told, datums, tape)


@dataclass(frozen=True)
class _Told:
    """What the tape shows of a good mark, how many read it, and what could have come of what it shows."""

    true: tuple[float, ...]
    readers: int
    near: Near

    def fit(self, shows: Sequence[Sequence[float]]) -> bool:
        near = self.near
        return all(near(r, n, shown) for r, row in enumerate(shows) for n, shown in enumerate(row))


def _of_layout(
    mark: Mark,
    spans: Sequence[Span],
    told: _Told,
    slip: Slip,
    moved: Pair,
    made_in: tuple[Span, ...],
    datum: str,
    share: float,
) -> Iterator[Story]:
    """A mark that stands where a slip put it: read truly, or by the first with the same slip once more."""
    there = []
    for n, span in enumerate(spans):
        there.append(mark.reads(span, moved))
        if span not in made_in and not told.near(0, n, there[n]):
            return
    row = tuple(there)
    shows = (row,) * told.readers
    if told.fit(shows):
        yield Story(slip, Where.LAID_OUT, datum, moved, shows, share)
    if slip != Slip.WRONG_SIDE:
        again = tuple(t if span in made_in else v for span, t, v in zip(spans, told.true, row, strict=True))
        shows = (again, *shows[1:])
        if told.fit(shows):
            yield Story(slip, Where.BOTH, datum, moved, shows, share)


def _of_reading(
    mark: Mark, spans: Sequence[Span], told: _Told, datums: Sequence[Datum], tape: Tape
) -> Iterator[Story]:
    """The mark stands right; one reader is wrong: in one reading, both from a datum, or all by the hook."""
    groups: list[tuple[Span, ...]] = [(span,) for span in spans]
    groups += [
        pair for datum in datums if len(pair := tuple(s for s in spans if s.datum.code == datum.code)) == 2
    ]
    share = 1 / (PLACES * told.readers)
    fits = [[told.near(r, n, t) for n, t in enumerate(told.true)] for r in range(told.readers)]
    edges = tuple(span for span in spans if span.datum.is_edge)
    for reader in range(told.readers):
        if not all(all(row) for r, row in enumerate(fits) if r != reader):
            continue
        for group in groups:
            if not all(fit or span in group for span, fit in zip(spans, fits[reader], strict=True)):
                continue
            for slip, by, part in misread(mark, group[0], datums, tape):
                shows = _by_one(told, spans, group, by, reader)
                if told.fit(shows):
                    datum = group[0].datum.code
                    yield Story(slip, Where.READ, datum, (0.0, 0.0), shows, part * share / len(groups))
        shows = _by_one(told, spans, edges, tape.hook, reader)
        if edges and told.fit(shows):
            yield Story(Slip.HOOKED, Where.READ, "", (0.0, 0.0), shows, share)


def _by_one(
    told: _Told, spans: Sequence[Span], group: tuple[Span, ...], by: float, reader: int
) -> tuple[tuple[float, ...], ...]:
    """All read truly, but for some readings of one reader."""
    wrong = tuple(t + by if s in group else t for s, t in zip(spans, told.true, strict=True))
    return tuple(wrong if r == reader else told.true for r in range(told.readers))

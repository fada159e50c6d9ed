"""Which usual slip explains the readings of a mark, if the evidence singles one out.

Every story of one slip says what each tape would show. A kind of slip is as likely as its stories are on
average: one that may have put the mark anywhere explains less than one that could only put it where it is.
A slip is named when it is far likelier than a good mark, and far likelier than every other slip together.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from shop.engineering.layout.plane import Datum, Mark, Span
from shop.engineering.layout.slip_evidence import Evidence
from shop.engineering.layout.slip_kinds import Slip, Where
from shop.engineering.layout.slip_stories import Story, stories
from shop.engineering.layout.tapes import Tape

# Logarithms of likelihood ratios: a slip against a good mark (12 to 1), against all other slips (9 to 1), and
# where it was made (20 to 1). Set by the error rates of trials with other seeds than those that are reported.
ABOVE_GOOD = 2.5
ABOVE_OTHERS = 2.2
ABOVE_PLACES = 3.0


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


@dataclass(frozen=True)
class Weighed:
    """What the readings say, as logarithms: of a good mark, and of each story with its share of its kind."""

    good: float
    stories: tuple[tuple[float, Story], ...]

    @property
    def kinds(self) -> dict[Slip, float]:
        """Each kind of slip with the sum of its stories."""
        every = dict.fromkeys(story.slip for _log, story in self.stories)
        return {slip: log_sum(log for log, story in self.stories if story.slip == slip) for slip in every}

    def summed(self, which: Callable[[Story], bool]) -> float:
        return log_sum(log for log, story in self.stories if which(story))


def weigh(
    mark: Mark, spans: Sequence[Span], values: Sequence[Sequence[float]], datums: Sequence[Datum], tape: Tape
) -> Weighed:
    """Weigh every usual slip by the readings of a mark.

    Args:
        mark: as drawn.
        spans: what was read.
        values: what the tape showed, in its unit: a row for each reader, the first one first.
        datums: of its view.
        tape: it was read with.
    Returns: the evidence.

    Valid for one slip at a time and readings with independent errors.
    Source: GUM 4.3.7; HOUSE (likelihood ratios, averaged over the ways to make a slip)
    """
    evidence = Evidence(mark, spans, values, tape)
    true = tuple(mark.reads(span) for span in spans)
    told = list(stories(mark, spans, datums, tape, readers=len(values), near=evidence.is_near))
    places = [((0.0, 0.0), (true,) * len(values)), *((story.moved, story.shows) for story in told)]
    good, *found = evidence.logs(places)
    shared = (log + math.log(story.share) for log, story in zip(found, told, strict=True))
    return Weighed(good, tuple(zip(shared, told, strict=True)))


def name_slip(
    mark: Mark, spans: Sequence[Span], values: Sequence[Sequence[float]], datums: Sequence[Datum], tape: Tape
) -> NamedSlip | None:
    """Name the usual slip that explains the readings of a mark.

    Args:
        mark: as drawn.
        spans: what was read.
        values: what the tape showed, in its unit: a row for each reader, the first one first.
        datums: of its view.
        tape: it was read with.
    Returns: the slip; None where the mark is good, or no single slip stands out.

    Valid as `weigh` is. Source: GUM 4.3.7; HOUSE (likelihood ratios)
    """
    return singled_out(weigh(mark, spans, values, datums, tape))


def singled_out(found: Weighed) -> NamedSlip | None:
    """The slip that the evidence singles out.

    Args:
        found: the evidence.
    Returns: the slip; None where a good mark or another slip is not far less likely.

    Valid as `weigh` is. Source: HOUSE (thresholds by error rates)
    """
    kinds = found.kinds
    slip = max(kinds, key=lambda each: kinds[each], default=None)
    if slip is None or kinds[slip] - found.good < ABOVE_GOOD:
        return None
    if kinds[slip] - log_sum(log for other, log in kinds.items() if other != slip) < ABOVE_OTHERS:
        return None
    own = Weighed(found.good, tuple(each for each in found.stories if each[1].slip == slip))
    _log, story = max(own.stories, key=lambda each: each[0])
    of_mark = own.summed(lambda each: each.is_of_the_mark)
    of_reading = own.summed(lambda each: not each.is_of_the_mark)
    from_it = own.summed(lambda each: each.datum == story.datum)
    from_another = own.summed(lambda each: each.datum != story.datum)
    return NamedSlip(
        story,
        story.where if abs(of_mark - of_reading) >= ABOVE_PLACES else None,
        story.datum if from_it - from_another >= ABOVE_PLACES else "",
    )


def log_sum(logs: Iterable[float]) -> float:
    """The logarithm of a sum of which the logarithms of the parts are given.

    Args:
        logs: of the parts; none for nothing.
    Returns: minus infinity for nothing.

    Valid for every number. Source: HOUSE (definition)
    """
    parts = list(logs)
    most = max(parts, default=-math.inf)
    if most == -math.inf:
        return most
    return most + math.log(sum(math.exp(each - most) for each in parts))

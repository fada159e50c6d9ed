"""The usual slips of layout: what they are called, and by how much each makes a dimension longer."""

from collections.abc import Iterator
from enum import StrEnum

from shop.engineering.layout.plane import NOTHING, Mark, Span
from shop.engineering.layout.tapes import Tape
from shop.engineering.words import Words
from shop.engineering.words import say as _

# A slip, by how much it makes a dimension longer, and its share of the ways to make that slip.
Amount = tuple["Slip", float, float]


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


def amounts(mark: Mark, span: Span, tape: Tape) -> Iterator[Amount]:
    """By how much a slip makes one dimension longer, in laying out or in reading.

    Args:
        mark: as drawn.
        span: the dimension.
        tape: it is made with.
    Returns: slip, difference in the unit of the tape, and its share: each size of a slip as often as another.

    Valid for every dimension. Source: HOUSE (the slips that shops know)
    """
    for by in (tape.burned, -tape.burned):
        yield Slip.BURNED, by, 0.5
    share = 0.5 / len(tape.divisions)
    for division in tape.divisions:
        yield Slip.DIVISION, division, share
        yield Slip.DIVISION, -division, share
    if mark.radius:
        yield Slip.EDGE_FOR_CENTRE, mark.radius, 0.5
        yield Slip.EDGE_FOR_CENTRE, -mark.radius, 0.5
    nominal = mark.reads(span)
    figures = transposed(nominal)
    for figure in figures:
        yield Slip.TRANSPOSED, figure - nominal, 1 / len(figures)

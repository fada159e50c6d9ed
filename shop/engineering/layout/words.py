"""What a check of a mark says, in the words of the shop."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from shop.engineering.decision.thresholds import Verdict
from shop.engineering.layout.checking import MarkCheck, Offset
from shop.engineering.layout.plane import Mark, Span
from shop.engineering.layout.slip_kinds import Where, slip_words
from shop.engineering.quantities.measures import Quantity
from shop.engineering.quantities.writer import format_quantity
from shop.engineering.words import Words, gettext_noop
from shop.engineering.words import say as _

# What can grow along an axis of a view, with what grows the other way.
OPPOSITE = {
    "back": "forward",
    "forward": "back",
    "up": "down",
    "down": "up",
    "left": "right",
    "right": "left",
    "outboard": "inboard",
    "inboard": "outboard",
}
_TOO_FAR: Mapping[str, str] = {
    "back": gettext_noop("%(off)s too far back"),
    "forward": gettext_noop("%(off)s too far forward"),
    "up": gettext_noop("%(off)s too high"),
    "down": gettext_noop("%(off)s too low"),
    "left": gettext_noop("%(off)s too far to the left"),
    "right": gettext_noop("%(off)s too far to the right"),
    "outboard": gettext_noop("%(off)s too far outboard"),
    "inboard": gettext_noop("%(off)s too far inboard"),
}
_ENDS: Mapping[str, str] = {
    "back": gettext_noop("rear end"),
    "forward": gettext_noop("front end"),
    "up": gettext_noop("upper end"),
    "down": gettext_noop("lower end"),
    "left": gettext_noop("left end"),
    "right": gettext_noop("right end"),
    "outboard": gettext_noop("outboard end"),
    "inboard": gettext_noop("inboard end"),
}


@dataclass(frozen=True)
class Axes:
    """Which way the axes of a view grow, each a word of `OPPOSITE`."""

    x: str = "back"
    y: str = "up"

    def toward(self, along_x: float, along_y: float) -> str:
        """The word for the axis along which a direction runs most, with its sign."""
        if abs(along_x) >= abs(along_y):
            return self.x if along_x > 0 else OPPOSITE[self.x]
        return self.y if along_y > 0 else OPPOSITE[self.y]


def length_words(value: float, unit: str) -> str:
    """A computed length as one reads it off a tape.

    Args:
        value: in the unit.
        unit: in or mm.
    Returns: "1 3/32 in" to the nearest 1/32, "27.5 mm" to the nearest half millimetre.

    Valid for every length. Source: HOUSE (no digits that a tape does not show)
    """
    if unit == "in":
        return format_quantity(Quantity(Fraction(round(value * 1024), 1024), unit), fraction=32)
    return format_quantity(Quantity(Fraction(round(value * 2), 2), unit))


def end_words(mark: Mark, end: int, axes: Axes) -> Words:
    """Which end of a line is meant.

    Args:
        mark: a line.
        end: 0 or 1.
        axes: of its view.
    Returns: "upper end".

    Valid for lines. Source: HOUSE (trade terms)
    """
    here, there = mark.ends[end], mark.ends[1 - end]
    return _(_ENDS[axes.toward(here[0] - there[0], here[1] - there[1])])


def off_words(check: MarkCheck, each: Offset, axes: Axes) -> Words:
    """How far a mark is off along one freedom.

    Args:
        check: the check of the mark.
        each: one of its offsets.
        axes: of its view.
    Returns: "1 in too far back".

    Valid for offsets of that check. Source: HOUSE (trade terms)
    """
    mark = check.plan.mark
    if mark.is_line:
        toward = axes.toward(mark.normal[0] * each.off, mark.normal[1] * each.off)
    else:
        toward = axes.toward(each.off, 0.0) if each.freedom == 0 else axes.toward(0.0, each.off)
    return _(_TOO_FAR[toward], off=length_words(abs(each.off), check.tape.unit))


def sentences(check: MarkCheck, axes: Axes) -> tuple[Words, ...]:
    """All that a check says.

    Args:
        check: the check of a mark.
        axes: of its view.
    Returns: where it stands, which slip explains that, what to do.

    Valid for every check. Source: HOUSE (a slip is asked about, never asserted)
    """
    return tuple(_sentences(check, axes))


def _sentences(check: MarkCheck, axes: Axes) -> Iterator[Words]:
    known = check.agrees or (check.slip is not None and check.slip.where not in (None, Where.READ))
    if known:
        yield _place(check, axes)
    else:
        yield _("The readings contradict each other.")
    if check.apart is not None:
        one, other = check.apart
        yield _(
            "No point can be that far from %(one)s and from %(other)s at once.",
            one=one.datum.code,
            other=other.datum.code,
        )
    if check.verdict != Verdict.CONFORMS:
        yield from _slip(check)


def _place(check: MarkCheck, axes: Axes) -> Words:
    unit, mark = check.tape.unit, check.plan.mark
    expanded = max(each.expanded for each in check.offsets)
    parts = {
        "allowed": length_words(mark.tolerance, unit),
        "may": _("more than can be said")
        if math.isinf(expanded)
        else length_words(_up(expanded, unit), unit),
        "count": len(check.values),
        "where": _where(check, axes),
    }
    if check.verdict == Verdict.CONFORMS:
        return _(
            "By %(count)d readings it stands where it should: %(where)s, ±%(allowed)s is allowed.", **parts
        )
    if check.verdict == Verdict.TOO_CLOSE:
        return _(
            "Too close to call: %(where)s by %(count)d readings, which may be off by ±%(may)s; "
            "±%(allowed)s is allowed.",
            **parts,
        )
    return _("It is %(where)s (±%(may)s); ±%(allowed)s is allowed.", **parts)


def _up(value: float, unit: str) -> float:
    step = 1 / 32 if unit == "in" else 0.5
    return math.ceil(value / step - 1e-9) * step


def _where(check: MarkCheck, axes: Axes) -> Words:
    step = 1 / 64 if check.tape.unit == "in" else 0.25
    first, second = check.offsets
    told = [each for each in check.offsets if abs(each.off) >= step]
    if not told:
        return _("nothing off that the tape would show")
    if check.plan.mark.is_line and abs(first.off - second.off) < 2 * step:
        return off_words(check, Offset(0, (first.off + second.off) / 2, 0.0, first.verdict), axes)
    words = [_off_at(check, each, axes) for each in told]
    return words[0] if len(words) == 1 else _("%(one)s and %(other)s", one=words[0], other=words[1])


def _off_at(check: MarkCheck, each: Offset, axes: Axes) -> Words:
    off = off_words(check, each, axes)
    if not check.plan.mark.is_line:
        return off
    return _("%(off)s at its %(end)s", off=off, end=end_words(check.plan.mark, each.freedom, axes))


def _slip(check: MarkCheck) -> Iterator[Words]:
    if check.slip is None:
        if check.verdict == Verdict.DOES_NOT_CONFORM or not check.agrees:
            yield _("Mark it again.")
        return
    what, datum = slip_words(check.slip.slip, check.tape), check.slip.datum
    if check.is_only_misread:
        if datum:
            yield _("Reading from %(datum)s: %(what)s? Read it again.", datum=datum, what=what)
        else:
            yield _("In reading: %(what)s? Read it again.", what=what)
    elif datum:
        yield _("From %(datum)s: %(what)s? Mark it again.", datum=datum, what=what)
    else:
        yield _("Was it this: %(what)s? Mark it again.", what=what)


def span_words(mark: Mark, span: Span, axes: Axes, names: Mapping[str, str]) -> Words:
    """What a tape is held to for one reading.

    Args:
        mark: that is read.
        span: the reading.
        axes: of its view.
        names: of the datums by their codes.
    Returns: "from A to the upper end".

    Valid for readings of that mark. Source: HOUSE (trade terms)
    """
    name = names.get(span.datum.code, span.datum.code)
    if not mark.is_line:
        return _("from %(datum)s to the centre", datum=name)
    return _("from %(datum)s to the %(end)s", datum=name, end=end_words(mark, span.end, axes))

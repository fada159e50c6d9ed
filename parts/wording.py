"""What reconciling found, in the words of the counter."""

from collections.abc import Callable
from typing import Protocol

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from parts.standing import Kind, LineStanding, OrderStanding, OrderState
from shop.days import day_words


def part_name(line: LineStanding) -> str:
    """What a part is, with its side where the description does not say it."""
    sides = {"left": _("left"), "right": _("right")}
    if line.side not in sides or line.side in line.description.lower():
        return line.description
    return f"{line.description}, {sides[line.side]}"


class Pieces(Protocol):
    """Whatever holds numbers of pieces: a count, a recount."""

    @property
    def counted(self) -> int: ...

    @property
    def damaged(self) -> int: ...

    @property
    def wrong(self) -> int: ...


def pieces_words(pieces: Pieces) -> str:
    """Good, damaged and wrong pieces: '3 good, 1 damaged'."""
    words = [_("%(count)d good") % {"count": pieces.counted}]
    words += [_("%(count)d damaged") % {"count": pieces.damaged}] if pieces.damaged else []
    words += [_("%(count)d wrong") % {"count": pieces.wrong}] if pieces.wrong else []
    return ", ".join(words)


def kind_words(line: LineStanding) -> list[str]:
    """Each way in which a line is not as ordered, with its number of pieces."""
    return [WORDS[kind](line) for kind in line.kinds]


def short_words(line: LineStanding) -> str:
    """How much is missing: '2 of 4 short'."""
    return _("%(short)d of %(ordered)d short") % {"short": line.short, "ordered": line.ordered}


def line_words(line: LineStanding) -> str:
    """The whole standing of a line: what is short and why, or that it is here."""
    kinds = "; ".join(kind_words(line))
    if not line.short:
        return kinds or _("here")
    return f"{short_words(line)}: {kinds}"


def shortage_sentence(line: LineStanding) -> str:
    """One sentence for a short part: which, how many, who needs it first, when it comes."""
    sentence = _(
        "%(part)s %(description)s: %(short)d of %(ordered)d missing, first needed at %(operation)s"
    ) % {
        "part": line.part_number,
        "description": part_name(line),
        "short": line.short,
        "ordered": line.ordered,
        "operation": line.operation,
    }
    if line.eta is None:
        return _("%(sentence)s; nobody has said when it comes.") % {"sentence": sentence}
    return _("%(sentence)s; expected %(day)s.") % {"sentence": sentence, "day": day_words(line.eta)}


def order_words(standing: OrderStanding) -> str:
    """Where an order stands as a whole, in a few words."""
    if standing.state == OrderState.EXPECTED:
        return _("slip is here, not counted") if standing.has_slip else _("expected")
    if standing.state == OrderState.COMPLETE:
        return _("all here")
    count = len(standing.shortages)
    words = ngettext("%(count)d part short", "%(count)d parts short", count) % {"count": count}
    critical = len(standing.critical_shortages)
    return words + (_(", %(count)d critical") % {"count": critical} if critical else "")


def _less_than_slip(line: LineStanding) -> str:
    count = line.slipped_where_counted - line.came
    return _("%(count)d fewer than the slip says") % {"count": count}


def _not_slipped(line: LineStanding) -> str:
    return _("%(count)d on no slip yet") % {"count": line.unsent}


def _not_counted(line: LineStanding) -> str:
    count = line.slipped - line.slipped_where_counted
    return _("%(count)d sent, not counted yet") % {"count": count}


def _over(line: LineStanding) -> str:
    if line.over_delivered == line.over:
        return _("%(count)d more than ordered") % {"count": line.over}
    return _("%(count)d more than needed, with those bought") % {"count": line.over}


def _damaged(line: LineStanding) -> str:
    words = _("%(count)d damaged") % {"count": line.damaged}
    return words + _sent_back(line.damaged_returned, line.damaged)


def _wrong(line: LineStanding) -> str:
    words = _("%(count)d wrong") % {"count": line.wrong}
    return words + _sent_back(line.wrong_returned, line.wrong)


def _sent_back(returned: int, of: int) -> str:
    if not returned:
        return ""
    return _(", sent back") if returned >= of else _(", %(count)d of them sent back") % {"count": returned}


WORDS: dict[Kind, Callable[[LineStanding], str]] = {
    Kind.SHORT_OF_SLIP: _less_than_slip,
    Kind.BACKORDERED: lambda line: _("%(count)d backordered on the slip") % {"count": line.backordered},
    Kind.NOT_YET_SLIPPED: _not_slipped,
    Kind.NOT_YET_COUNTED: _not_counted,
    Kind.OVER: _over,
    Kind.DAMAGED: _damaged,
    Kind.WRONG: _wrong,
    Kind.BOUGHT: lambda line: _("%(count)d bought locally") % {"count": line.bought},
    Kind.SENT_BACK: lambda line: _("%(count)d sent back") % {"count": line.returned},
    Kind.SCRAPPED: lambda line: _("%(count)d scrapped in the work") % {"count": line.scrapped},
}

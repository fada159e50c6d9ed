"""How one limit became another: tighter, looser, moved; said with the figures."""

from enum import StrEnum

from django.utils.translation import gettext_lazy as _

from shop.engineering.limits import Limits


class LimitChange(StrEnum):
    TIGHTER = "tighter"
    LOOSER = "looser"
    MOVED = "moved"
    SAME = "same"
    OTHER = "other"


WORDS = {
    LimitChange.TIGHTER: _("tighter"),
    LimitChange.LOOSER: _("looser"),
    LimitChange.MOVED: _("moved: some of what conformed does not any more"),
    LimitChange.SAME: _("the same limit, written otherwise"),
    LimitChange.OTHER: _("another kind of limit"),
}


def limit_change(old: Limits, new: Limits) -> LimitChange:
    """What became of a limit, by the exact values that it lets through.

    Returns: TIGHTER where everything that conforms now conformed before, LOOSER the other way round, SAME
        where both let through the same, OTHER where they limit different quantities, else MOVED.
    Valid for limits of any unit. Source: HOUSE (inclusion of intervals)
    """
    if old.dimension is not new.dimension:
        return LimitChange.OTHER
    is_inside, was_inside = _inside(new, old), _inside(old, new)
    if is_inside and was_inside:
        return LimitChange.SAME
    if is_inside:
        return LimitChange.TIGHTER
    return LimitChange.LOOSER if was_inside else LimitChange.MOVED


def _inside(inner: Limits, outer: Limits) -> bool:
    """Whether all that one limit lets through the other lets through too."""
    low = outer.low is None or (inner.low is not None and inner.low.quanta >= outer.low.quanta)
    high = outer.high is None or (inner.high is not None and inner.high.quanta <= outer.high.quanta)
    return low and high

"""A date that will hold, in words: a range that grows with what is left, never a day. Pure.

The standard times know nothing of a shop that works on several cars at once. So the earliest day is what
they give, and the latest lies half as far again beyond it.
"""

import datetime as dt
import math

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

LATER_SHARE = 0.5
A_WEEK = 7
FEW_DAYS = 4
# Beyond this many weeks nobody thinks in weeks.
MOST_WEEKS = 10


def latest_of(today: dt.date, earliest: dt.date) -> dt.date:
    """The other end of the range."""
    days = (earliest - today).days
    return earliest + dt.timedelta(days=max(2, math.ceil(days * LATER_SHARE)))


def in_words(today: dt.date, earliest: dt.date) -> str:
    """When the car can be ready, as one would say it on the telephone.

    >>> in_words(dt.date(2030, 4, 15), dt.date(2030, 5, 6))
    'in about 3 to 5 weeks'
    """
    days, most = (earliest - today).days, (latest_of(today, earliest) - today).days
    if days <= FEW_DAYS:
        return _("within the next few days") if most <= FEW_DAYS else _("in about a week")
    if most <= 2 * A_WEEK:
        return _("in one to two weeks")
    first, last = max(1, days // A_WEEK), math.ceil(most / A_WEEK)
    if last <= MOST_WEEKS:
        return _("in about %(first)d to %(last)d weeks") % {"first": first, "last": last}
    months, more = max(2, round(days / 30)), math.ceil(most / 30)
    if months == more:
        return ngettext("in about %(n)d month", "in about %(n)d months", months) % {"n": months}
    return _("in about %(first)d to %(last)d months") % {"first": months, "last": more}

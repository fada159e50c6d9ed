"""How the shop writes a day and a moment, on every page and paper: 25 Nov 2026, 25 Nov 2026 16:05."""

import datetime as dt

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

DAY = "j M Y"
MOMENT = "j M Y H:i"


def day_words(day: dt.date) -> str:
    return date_format(day, DAY)


def moment_words(moment: dt.datetime) -> str:
    """A moment by the shop's clock."""
    return date_format(timezone.localtime(moment), MOMENT)


def days_away(day: dt.date, today: dt.date) -> str:
    """How far a day is off: 'in 3 days', 'today', '2 days ago'."""
    days = (day - today).days
    if days == 0:
        return _("today")
    if days > 0:
        return ngettext("in %(days)d day", "in %(days)d days", days) % {"days": days}
    return ngettext("%(days)d day ago", "%(days)d days ago", -days) % {"days": -days}

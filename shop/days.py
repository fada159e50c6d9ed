"""How the shop writes a day and a moment, on every page and paper: 25 Nov 2026, 25 Nov 2026 16:05."""

import datetime as dt

from django.utils import timezone
from django.utils.formats import date_format

DAY = "j M Y"
MOMENT = "j M Y H:i"


def day_words(day: dt.date) -> str:
    return date_format(day, DAY)


def moment_words(moment: dt.datetime) -> str:
    """A moment by the shop's clock."""
    return date_format(timezone.localtime(moment), MOMENT)

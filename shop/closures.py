"""When a bay cannot be used."""

import datetime as dt

from django.utils.translation import gettext as _

from shop.days import day_words
from shop.models import Bay, BayClosure


def closure_of(bay: Bay, *, on: dt.date) -> BayClosure | None:
    """What keeps a bay closed on that day."""
    return bay.closures.filter(first_day__lte=on, last_day__gte=on).order_by("-last_day").first()


def closed_words(closure: BayClosure) -> str:
    words = {"bay": closure.bay, "day": day_words(closure.last_day), "reason": closure.reason}
    return _("Bay %(bay)s is closed until %(day)s: %(reason)s") % words

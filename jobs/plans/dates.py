"""A planned day in words, for people. A plan gives a day, not a promise."""

import datetime as dt
from dataclasses import dataclass

from django.utils.formats import date_format
from django.utils.translation import gettext as _

# Two ways to forecast agree within so many days, or the page says why not.
FORECASTS_AGREE_WITHIN = 2


@dataclass(frozen=True)
class Forecast:
    """When a car is as likely ready as not, when it is with four chances in five, and of its promise.

    `promise_chance` is from 0 to 1; None where no date was promised.
    """

    likely: dt.date
    safe: dt.date
    promise_chance: float | None = None


def long_day(day: dt.date) -> str:
    return date_format(day, "l j F")


def ready_words(planned: dt.date, forecast: Forecast | None) -> str:
    """What is said of a car: its date with the chances where there is a forecast, else that it is planned."""
    if forecast is not None:
        return _("ready by %(day)s, 4 chances in 5") % {"day": long_day(forecast.safe)}
    return _("planned for %(day)s, not a promise") % {"day": long_day(planned)}


def chance_words(chance: float) -> str:
    """A chance as people say it; never certain."""
    tenths = min(9, max(1, round(chance * 10)))
    if chance >= 0.95:
        return _("better than 9 chances in 10")
    if chance <= 0.05:
        return _("less than 1 chance in 10")
    return _("%(tenths)d chances in 10") % {"tenths": tenths}

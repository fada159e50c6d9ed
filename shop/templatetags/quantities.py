"""Template tags that show readings and times as the shop writes them."""

import datetime as dt
from typing import Any

from django import template
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.days import day_words, moment_words

register = template.Library()

register.filter("shop_day", day_words, expects_localtime=True)
register.filter("shop_moment", moment_words)


@register.filter
def readings(result: Any) -> str:
    """What was entered for a result, in one line: '29 1/2 in', 'left 1/8 in, right 1/8 in'."""
    return describe_readings(result.readings)


def describe_readings(read: dict[str, Any]) -> str:
    """The readings of a result in words. Each quantity as it was entered, with its unit."""
    words = {
        "value": "",
        "left": _("left "),
        "right": _("right "),
        "angle": _("turned by "),
        "slot": _("on to the slot by "),
        "prevailing": _("running down "),
        "count": "",
    }
    parts = [f"{words[name]}{_entered(value)}" for name, value in read.items() if name in words]
    if read.get("extension"):
        parts.append(_("through %(extension)s°") % {"extension": str(read["extension"]).replace("/", " at ")})
    # The readings of a mark are numbered, as in its drawing.
    parts += [f"{n[1:]}: {_entered(value)}" for n, value in read.items() if n[0] == "r" and n[1:].isdigit()]
    if "go" in read:
        parts.append(_("passes") if read["go"] == "yes" else _("does not pass"))
    if read.get("watch"):
        parts.append(_("watched by %(names)s") % {"names": read["watch"]})
    if "criteria" in read:
        met = sum(1 for c in read["criteria"] if c["met"])
        parts.append(_("%(met)d of %(all)d criteria met") % {"met": met, "all": len(read["criteria"])})
    if "position" in read:
        parts.append(_("%(count)d readings of the cradle") % {"count": len(read["position"])})
    if "photo" in read:
        parts.append(_("photo"))
    return ", ".join(parts)


def _entered(value: Any) -> str:
    if not isinstance(value, dict):
        return str(value)
    entered, unit = str(value["entered"]), str(value["unit"])
    bare = all(c in "0123456789 /.,-−" for c in entered)
    return (f"{entered}{unit}" if unit == "°" else f"{entered} {unit}") if bare else entered


@register.filter
def shop_time(moment: dt.datetime, now: dt.datetime | None = None) -> str:
    """A time by the shop's clock, with the date where it is not today's."""
    local = timezone.localtime(moment)
    today = timezone.localtime(now) if now else timezone.localtime()
    if local.date() == today.date():
        return f"{local:%H:%M}"
    if local.year == today.year:
        return f"{local:%a} {local.day} {local:%b %H:%M}"
    return f"{local.day} {local:%b %Y %H:%M}"

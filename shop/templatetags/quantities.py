"""Template tags that show readings and times as the shop writes them."""

import datetime as dt
from fractions import Fraction
from typing import Any

from django import template
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.days import day_words, moment_words
from shop.engineering.limits.shown import ReadAs, other_reader, quantity_read_as
from shop.engineering.quantities.measures import Quantity

register = template.Library()

register.filter("shop_day", day_words, expects_localtime=True)
register.filter("shop_moment", moment_words)


@register.filter
def readings(result: Any) -> str:
    """What was entered for a result, in one line: '31 1/4 in', 'left 1/8 in, right 1/8 in'."""
    return describe_readings(result.readings)


@register.filter
def readings_as(result: Any, reader: ReadAs | None = None) -> str:
    """What was entered for a result, each figure in its reader's units."""
    return describe_readings(result.readings, reader)


@register.filter
def readings_beside(result: Any, reader: ReadAs | None = None) -> str:
    """What stands beside it: as it was written where the reader sees another unit, else the other system."""
    return describe_beside(result.readings, reader)


def describe_beside(read: dict[str, Any], reader: ReadAs | None = None) -> str:
    """The same readings as they were written, or in the other system; empty where nothing differs."""
    shown, written = describe_readings(read, reader), describe_readings(read)
    if shown != written:
        return _("written %(readings)s") % {"readings": written}
    units = [str(value["unit"]) for value in read.values() if isinstance(value, dict) and "value" in value]
    other = describe_readings(read, other_reader(units[0])) if units else written
    return other if other != written else ""


def describe_readings(read: dict[str, Any], reader: ReadAs | None = None) -> str:
    """The readings of a result in words. Each quantity as it was entered, or in its reader's units."""
    words = {
        "value": "",
        "left": _("left "),
        "right": _("right "),
        "angle": _("turned by "),
        "slot": _("on to the slot by "),
        "prevailing": _("running down "),
        "count": "",
    }
    parts = [f"{words[name]}{_entered(value, reader)}" for name, value in read.items() if name in words]
    if read.get("extension"):
        parts.append(_("through %(extension)s°") % {"extension": str(read["extension"]).replace("/", " at ")})
    # The readings of a mark are numbered, as in its drawing.
    parts += [
        f"{n[1:]}: {_entered(value, reader)}" for n, value in read.items() if n[0] == "r" and n[1:].isdigit()
    ]
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


def _entered(value: Any, reader: ReadAs | None) -> str:
    if not isinstance(value, dict):
        return str(value)
    if reader is not None and "value" in value:
        unit = str(value["unit"])
        if reader.unit_for(unit) != unit or (unit == "in" and reader.decimal):
            return quantity_read_as(Quantity(Fraction(value["value"]), unit), reader)
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

"""Confirming who signs: a PIN, with a lock on guessing; and which PINs nobody may have."""

import datetime as dt
from itertools import pairwise

from django.utils import timezone
from django.utils.translation import gettext as _

from shop.guessing import HeldBackError, claim, locked_until, minutes_until
from shop.models import Person

SHORTEST, LONGEST = 4, 8


class PinRefused(Exception):  # noqa: N818 - what somebody typed, not a fault of the program
    """The PIN does not confirm that person; `message` says why, and how long it stays so."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


def confirm_pin(person: Person, pin: str, *, place: str, now: dt.datetime, address: str = "") -> None:
    """Return when the PIN is that person's.

    Args:
        place: where it was given, such as `tablet/3` or `desk/7`; the lock holds there alone.
        address: the network address that it came from, held back after many wrong ones.

    Raises:
        PinRefused: it is wrong, the person has none, or has been locked here.
    """
    if not person.is_active or not person.pin_hash:
        raise PinRefused(_("%(name)s has no PIN; the manager gives one") % {"name": person})
    try:
        attempt = claim(person, place=place, address=address, now=now)
    except HeldBackError as held:
        words = _locked(person, held.until, now) if held.person else held_back_words(held, now=now)
        raise PinRefused(words) from held
    pin = pin.strip()
    if not person.has_pin(pin):
        raise PinRefused(_wrong(person, place, now))
    attempt.delete()
    if not person.has_peppered_pin:
        person.set_pin(pin)
        person.save(update_fields=["pin_hash"])


def fault_of_pin(pin: str) -> str:
    """Why nobody may have this PIN, in words; empty where it is good."""
    if not (pin.isascii() and pin.isdecimal() and SHORTEST <= len(pin) <= LONGEST):
        return _("A PIN is four to eight digits")
    if _is_easy(pin):
        return _("This is one of the first that anybody tries. Take another")
    return ""


def _is_easy(pin: str) -> bool:
    """One digit or a pair over and over, a row up or down, the year of a birth."""
    steps = {(int(b) - int(a)) % 10 for a, b in pairwise(pin)}
    sizes = [size for size in (1, 2, 3) if size < len(pin) and len(pin) % size == 0]
    repeated = any(pin == pin[:size] * (len(pin) // size) for size in sizes)
    is_year = len(pin) == 4 and pin[:2] in {"19", "20"}
    return repeated or steps in ({1}, {9}) or is_year


def held_back_words(held: HeldBackError, *, now: dt.datetime) -> str:
    """What somebody is told whose address was wrong too often."""
    seconds = max(1, int((held.until - now).total_seconds()))
    if seconds < 90:
        return _("Too many wrong tries from this device. Try again in %(seconds)d s") % {"seconds": seconds}
    minutes = minutes_until(held.until, now=now)
    return _("Too many wrong tries from this device. Try again in %(minutes)d min") % {"minutes": minutes}


def _wrong(person: Person, place: str, now: dt.datetime) -> str:
    until = locked_until(person, place=place, now=now)
    if until is not None:
        return _locked(person, until, now)
    return _("This is not the PIN of %(name)s") % {"name": person}


def _locked(person: Person, until: dt.datetime, now: dt.datetime) -> str:
    return _(
        "Five wrong PINs for %(name)s here. Try again at %(time)s, in %(minutes)d min; "
        "at another place it works now"
    ) % {
        "name": person,
        "time": f"{timezone.localtime(until):%H:%M}",
        "minutes": minutes_until(until, now=now),
    }

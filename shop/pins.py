"""Confirming who signs: a PIN, with a lock on guessing.

Five wrong PINs for one person at one place within five minutes lock that person there for five minutes.
"""

import datetime as dt

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.models import Person, WrongPin

MOST_WRONG = 5
WITHIN = dt.timedelta(minutes=5)
LOCKED_FOR = dt.timedelta(minutes=5)


class PinRefused(Exception):  # noqa: N818 - what somebody typed, not a fault of the program
    """The PIN does not confirm that person; `message` says why, and how long it stays so."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


def confirm_pin(person: Person, pin: str, *, place: str, now: dt.datetime) -> None:
    """Return when the PIN is that person's.

    Args:
        place: where it was given, such as `tablet/3` or `desk/7`; the lock holds there alone.

    Raises:
        PinRefused: it is wrong, the person has none, or has been locked here.
    """
    if not person.is_active or not person.pin_hash:
        raise PinRefused(_("%(name)s has no PIN; the manager gives one") % {"name": person})
    # An attempt counts as wrong before it is looked at, so that many at once are no way round the lock.
    attempt = _claim(person, place, now)
    if not person.has_pin(pin.strip()):
        raise PinRefused(_wrong(person, place, now))
    attempt.delete()


def locked_until(person: Person, *, place: str, now: dt.datetime) -> dt.datetime | None:
    """Until when nobody can confirm as that person there; None where it is not locked."""
    wrong = list(
        WrongPin.objects.filter(person=person, place=place, given_at__gt=now - WITHIN - LOCKED_FOR)
        .order_by("-given_at", "-pk")
        .values_list("given_at", flat=True)[:MOST_WRONG]
    )
    if len(wrong) < MOST_WRONG or wrong[0] - wrong[-1] >= WITHIN:
        return None
    until = wrong[0] + LOCKED_FOR
    return until if now < until else None


def _claim(person: Person, place: str, now: dt.datetime) -> WrongPin:
    with transaction.atomic():
        until = locked_until(person, place=place, now=now)
        if until is not None:
            raise PinRefused(_locked(person, until, now))
        return WrongPin.objects.create(person=person, place=place, given_at=now)


def _wrong(person: Person, place: str, now: dt.datetime) -> str:
    until = locked_until(person, place=place, now=now)
    if until is not None:
        return _locked(person, until, now)
    return _("This is not the PIN of %(name)s") % {"name": person}


def _locked(person: Person, until: dt.datetime, now: dt.datetime) -> str:
    minutes = -(-int((until - now).total_seconds()) // 60)
    return _(
        "Five wrong PINs for %(name)s here. Try again at %(time)s, in %(minutes)d min; "
        "at another place it works now"
    ) % {"name": person, "time": f"{timezone.localtime(until):%H:%M}", "minutes": minutes}

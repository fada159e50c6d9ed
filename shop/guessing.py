"""Holding back whoever guesses PINs, passwords and codes: by person and place, and by network address.

Five wrong ones for one person at one place within five minutes lock that person there for five minutes.
Whatever it was tried for, an address that was wrong often waits, twice as long after each further try.
"""

import datetime as dt

from django.db import transaction

from shop.models import Person, WrongPin

MOST_WRONG = 5
WITHIN = dt.timedelta(minutes=5)
LOCKED_FOR = dt.timedelta(minutes=5)

# A whole shop may stand behind one address, and people mistype.
FREE_TRIES = 15
COUNTED_FOR = dt.timedelta(minutes=15)
FIRST_WAIT = dt.timedelta(seconds=2)
LONGEST_WAIT = dt.timedelta(minutes=10)
KEPT_FOR = dt.timedelta(days=1)


class HeldBackError(Exception):
    """Nothing is looked at until `until`; `person` says whether the person or the address is held back."""

    def __init__(self, until: dt.datetime, *, person: bool) -> None:
        super().__init__(f"held back until {until}")
        self.until, self.person = until, person


def claim(person: Person | None, *, place: str, address: str, now: dt.datetime) -> WrongPin:
    """Count one attempt as wrong before it is looked at, so that many at once are no way round the lock.

    Whoever was right deletes it. `person` is None where nobody has the name, or none was asked for.

    Raises:
        HeldBackError: one attempt too many.
    """
    with transaction.atomic():
        WrongPin.objects.filter(given_at__lt=now - KEPT_FOR).delete()
        until = locked_until(person, place=place, now=now) if person else None
        if until is not None:
            raise HeldBackError(until, person=True)
        until = held_back_until(address, now=now)
        if until is not None:
            raise HeldBackError(until, person=False)
        return WrongPin.objects.create(person=person, place=place, given_at=now, address=address[:45])


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


def held_back_until(address: str, *, now: dt.datetime) -> dt.datetime | None:
    """Until when nothing from that address is looked at; None where it may try."""
    if not address:
        return None
    wrong = list(
        WrongPin.objects.filter(address=address[:45], given_at__gt=now - COUNTED_FOR)
        .order_by("-given_at")
        .values_list("given_at", flat=True)
    )
    if len(wrong) < FREE_TRIES:
        return None
    doublings = min(len(wrong) - FREE_TRIES, 20)
    until = wrong[0] + min(FIRST_WAIT * 2**doublings, LONGEST_WAIT)
    return until if now < until else None


def minutes_until(until: dt.datetime, *, now: dt.datetime) -> int:
    """Whole minutes, rounded up."""
    return -(-int((until - now).total_seconds()) // 60)

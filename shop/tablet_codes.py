"""One-time codes: the manager makes one, whoever stands at the device types it, the device is the tablet."""

import datetime as dt
import hashlib
import hmac
import secrets

from django.conf import settings
from django.db import transaction
from django.utils.translation import gettext as _

from shop.events import append, lock_stream
from shop.guessing import HeldBackError, claim
from shop.models import Bay, Person, Tablet, TabletCode
from shop.pins import held_back_words
from shop.tablets import assign

# Without what looks alike by hand or on a screen: 0 O, 1 I L, 2 Z, 5 S, 8 B.
LETTERS = "ACDEFGHJKMNPQRTUVWXY34679"
LENGTH = 8
HOLDS_FOR = dt.timedelta(minutes=10)
PLACE = "tablet-code"


class CodeRefused(Exception):  # noqa: N818 - what somebody typed, not a fault of the program
    """The code makes no tablet; `message` says why."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


@transaction.atomic
def make_code(bay: Bay, *, name: str, by: Person, now: dt.datetime) -> tuple[TabletCode, str]:
    """A code for a tablet of that bay; it is returned once, in two halves, and kept as a hash alone."""
    code = "".join(secrets.choice(LETTERS) for _letter in range(LENGTH))
    made = TabletCode.objects.create(
        name=name, bay=bay, code_hash=_hash(code), made_by=by, made_at=now, expires_at=now + HOLDS_FOR
    )
    data = {"by": by.pk, "code": made.pk, "bay": bay.number}
    append(stream="shop", kind="tablet_code.made", data=data, now=now)
    return made, f"{code[:4]} {code[4:]}"


def redeem(typed: str, *, address: str, now: dt.datetime) -> tuple[Tablet, str]:
    """Make a tablet by a code; its credential is returned once. A code works once.

    Raises:
        CodeRefused: it is unknown, used or has run out, or too many were wrong from that address.
    """
    code = "".join(typed.upper().replace("-", " ").split())
    if not code:
        raise CodeRefused(_("Enter the code that the manager reads out"))
    try:
        attempt = claim(None, place=PLACE, address=address, now=now)
    except HeldBackError as held:
        raise CodeRefused(held_back_words(held, now=now)) from held
    with transaction.atomic():
        lock_stream("shop")
        found = TabletCode.objects.select_related("bay", "made_by").filter(code_hash=_hash(code)).first()
        fault = _fault_of(found, now)
        if found is None or fault:
            raise CodeRefused(fault)
        tablet, token = assign(found.bay, name=found.name, by=found.made_by, now=now)
        found.used_at, found.tablet = now, tablet
        found.save(update_fields=["used_at", "tablet"])
        attempt.delete()
    return tablet, token


def _fault_of(found: TabletCode | None, now: dt.datetime) -> str:
    if found is None:
        return _("There is no such code. Ask for it again, letter by letter")
    if found.used_at is not None:
        return _("This code was used already; each works once. Ask the manager for another")
    if found.expires_at <= now:
        return _("This code has run out; each holds ten minutes. Ask the manager for another")
    if not (found.bay.is_open and found.made_by.is_active):
        return _("This code does not hold any more. Ask the manager for another")
    return ""


def _hash(code: str) -> str:
    return hmac.new(settings.PIN_PEPPER.encode(), f"{PLACE}/{code}".encode(), hashlib.sha256).hexdigest()

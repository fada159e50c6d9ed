"""The tablets of the bays: which browser is one, and who has their turn at it.

A tablet's credential says where it stands, and only its hash is kept. A person's turn is another thing:
begun by name and PIN, ended by hand, by the next person's turn, or when the tablet is revoked. One that was
left open overnight lapses: whoever sees it next day finds it ended at the end of the working day.
"""

import datetime as dt
import secrets
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction
from django.db.models import Max
from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import rotate_token
from django.utils.translation import gettext as _

from shop.canonical import sha256_of
from shop.events import append
from shop.models import Bay, Entry, Person, ShopSettings, Tablet, Turn
from shop.pins import confirm_pin
from shop.prepared import Prepared
from shop.working_time import closing_of

COOKIE = "tablet"
SALT = "shop.tablets"
A_YEAR = 365 * 24 * 3600

BY_CREDENTIAL = Prepared(
    lambda token_hash: Tablet.objects.select_related("bay").filter(token_hash=token_hash, revoked_at=None)
)
TURN = Prepared(
    lambda tablet: Turn.objects.select_related("person", "tablet__bay").filter(tablet=tablet, ended_at=None)
)


def place_of(tablet: Tablet) -> str:
    """Where a PIN was given, for the lock on guessing."""
    return f"tablet/{tablet.pk}"


@transaction.atomic
def assign(bay: Bay, *, by: Person, now: dt.datetime, name: str = "") -> tuple[Tablet, str]:
    """Make a tablet of that bay; its credential is returned once and kept nowhere."""
    token = secrets.token_urlsafe(32)
    tablet = Tablet.objects.create(
        name=name or _("Tablet of bay %(bay)s") % {"bay": bay},
        bay=bay,
        token_hash=_hash(token),
        assigned_by=by,
        assigned_at=now,
    )
    _tell("tablet.assigned", tablet, by, now)
    return tablet, token


@transaction.atomic
def revoke(tablet: Tablet, *, by: Person, now: dt.datetime) -> None:
    """Take a tablet's credential away for good; whoever has their turn there is signed out."""
    if tablet.revoked_at is not None:
        return
    turn = turn_of(tablet)
    if turn is not None:
        end_turn(turn, now=now)
    tablet.revoked_at = now
    tablet.save(update_fields=["revoked_at"])
    _tell("tablet.revoked", tablet, by, now)


def give_credential(response: HttpResponse, token: str) -> None:
    """Make the browser that gets this answer the tablet."""
    response.set_signed_cookie(
        COOKIE,
        token,
        salt=SALT,
        max_age=A_YEAR,
        httponly=True,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
    )


def tablet_of(request: HttpRequest) -> Tablet | None:
    """The tablet that this browser is; None where it is none, or not any more."""
    token = request.get_signed_cookie(COOKIE, default="", salt=SALT, max_age=A_YEAR)
    if not token:
        return None
    return BY_CREDENTIAL.first(token_hash=_hash(token))


def turn_of(tablet: Tablet) -> Turn | None:
    """The turn that somebody has at the tablet now."""
    return TURN.first(tablet=tablet)


def end_lapsed(turn: Turn, *, now: dt.datetime) -> bool:
    """End a turn that was begun on an earlier day, as of the end of that day's work."""
    settings = ShopSettings.current()
    if settings.day_at(turn.started_at) >= settings.day_at(now):
        return False
    _end(turn, at=left_at(turn.person_id, turn.started_at, settings=settings), now=now)
    return True


def left_at(person_id: int, since: dt.datetime, *, settings: ShopSettings) -> dt.datetime:
    """When somebody left who never said so: as the shop closed that day, or at their last entry after."""
    zone, day = ZoneInfo(settings.zone), settings.day_at(since)
    midnight = dt.datetime.combine(day + dt.timedelta(days=1), dt.time(0), zone)
    signed = Entry.objects.filter(signer=person_id, received_at__gte=since, received_at__lt=midnight)
    closing = closing_of(day, hours=settings.hours, zone=zone)
    return max(m for m in (since, closing, signed.aggregate(last=Max("received_at"))["last"]) if m)


def begin_turn(tablet: Tablet, person: Person, pin: str, *, now: dt.datetime, address: str = "") -> Turn:
    """Begin a person's turn; whoever had theirs before is signed out.

    Raises:
        PinRefused: the PIN does not confirm that person.
    """
    confirm_pin(person, pin, place=place_of(tablet), now=now, address=address)
    with transaction.atomic():
        before = turn_of(tablet)
        if before is not None:
            end_turn(before, now=now)
        turn = Turn.objects.create(tablet=tablet, person=person, started_at=now)
        _tell("turn.begun", tablet, person, now)
    return turn


def rotate(request: HttpRequest) -> None:
    """A new session and a new token for forms, as with every sign-in: what came before is worth nothing."""
    request.session.cycle_key()
    rotate_token(request)


def end_turn(turn: Turn, *, now: dt.datetime) -> None:
    """End a turn; ending it twice changes nothing."""
    _end(turn, at=now, now=now)


@transaction.atomic
def _end(turn: Turn, *, at: dt.datetime, now: dt.datetime) -> None:
    if Turn.objects.filter(pk=turn.pk, ended_at=None).update(ended_at=at):
        turn.ended_at = at
        _tell("turn.ended", turn.tablet, turn.person, now)


def _hash(token: str) -> str:
    return sha256_of(token.encode())


def _tell(kind: str, tablet: Tablet, by: Person, now: dt.datetime) -> None:
    append(
        stream="shop",
        kind=kind,
        data={"tablet": tablet.pk, "bay": tablet.bay.number, "by": by.pk},
        now=now,
    )

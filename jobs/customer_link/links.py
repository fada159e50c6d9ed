"""Making and finding private links. The secret is in the address alone; only its hash is kept."""

import base64
import datetime as dt
import re
from uuid import UUID

from django.db import transaction
from django.utils.crypto import salted_hmac

from jobs.models import CustomerLink, Job
from shop.canonical import sha256_of
from shop.events import append, lock_stream
from shop.models import Person, ShopSettings

SALT = "jobs.customer_link"
TOKEN = re.compile(r"[A-Za-z0-9_-]{43}")
# Opening a page again and again is not worth a write each time.
OPENED_EVERY = dt.timedelta(minutes=1)


def make_link(job: Job, *, wish: UUID, by: Person, now: dt.datetime) -> tuple[CustomerLink, str]:
    """A link to that job and its secret, which is kept nowhere.

    Args:
        wish: made with the form that asks; the same wish again gives the same link, so that a form sent
            twice makes one.
    """
    token = _token(job, wish)
    with transaction.atomic():
        lock_stream(job.stream)
        known = CustomerLink.objects.filter(token_hash=_hash(token)).first()
        if known is not None:
            return known, token
        made = CustomerLink.objects.create(
            job=job,
            token_hash=_hash(token),
            made_by=by,
            made_at=now,
            expires_at=now + dt.timedelta(days=ShopSettings.current().link_days),
        )
        _tell("link.made", made, by, now)
    return made, token


@transaction.atomic
def revoke_link(link: CustomerLink, *, by: Person, now: dt.datetime) -> None:
    """Take a link back for good; revoking it twice changes nothing."""
    lock_stream(link.job.stream)
    if CustomerLink.objects.filter(pk=link.pk, revoked_at=None).update(revoked_at=now):
        link.revoked_at = now
        _tell("link.revoked", link, by, now)


def find_link(token: str, *, now: dt.datetime) -> CustomerLink | None:
    """The link of that secret, while it holds. Unknown, run out and revoked are told apart by nobody."""
    if not TOKEN.fullmatch(token):
        return None
    return (
        CustomerLink.objects.select_related("made_by", "job")
        .filter(token_hash=_hash(token), revoked_at=None, expires_at__gt=now)
        .first()
    )


def note_opened(link: CustomerLink, *, now: dt.datetime) -> None:
    """When the customer last looked, to the minute."""
    if link.opened_at is None or now - link.opened_at >= OPENED_EVERY:
        CustomerLink.objects.filter(pk=link.pk).update(opened_at=now)


def _token(job: Job, wish: UUID) -> str:
    digest = salted_hmac(SALT, f"{job.pk}/{wish}", algorithm="sha256").digest()
    return base64.urlsafe_b64encode(digest).decode().rstrip("=")


def _hash(token: str) -> str:
    return sha256_of(token.encode())


def _tell(kind: str, link: CustomerLink, by: Person, now: dt.datetime) -> None:
    # Without its row: when it was last opened changes, and is no part of the record.
    data = {"by": by.pk, "link": link.pk, "until": link.expires_at.isoformat()}
    append(stream=link.job.stream, kind=kind, data=data, now=now)

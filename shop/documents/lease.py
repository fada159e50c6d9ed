"""Who works on a document: a lease that is renewed, and an attempt number that tells twins apart.

A worker may die at any moment, and one that was believed dead may come back. So whatever it writes is
written on condition that the document is still in its hands: in work, and at its attempt.
"""

import datetime as dt
import logging
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from uuid import UUID

from django.conf import settings
from django.db import DatabaseError, connection, transaction
from django.db.models import F

from shop.documents.models import Document, DocumentQuerySet, DocumentState

log = logging.getLogger(__name__)

LEASE = dt.timedelta(seconds=settings.PAPER_LEASE_SECONDS)
RENEW_SECONDS = settings.PAPER_LEASE_SECONDS / 3
ATTEMPTS = 5

Clock = Callable[[], dt.datetime]


class LeaseLostError(Exception):
    """The document is in other hands; nothing more may be written to it."""


def claim(document_id: UUID, *, now: dt.datetime, worker: str) -> Document | None:
    """Take a document into work; None where somebody has it, or nothing is left to do."""
    with transaction.atomic():
        taken = (
            Document.objects.claimable(now=now)
            .filter(pk=document_id, attempt__lt=ATTEMPTS)
            .update(
                state=DocumentState.IN_WORK,
                attempt=F("attempt") + 1,
                lease_until=now + LEASE,
                progress_done=0,
                progress_total=0,
                doing="",
            )
        )
        if not taken:
            return None
        document = Document.objects.get(pk=document_id)
    if document.attempt > 1:
        log.warning("%s: attempt %s begun by %s", document, document.attempt, worker)
    return document


def held(document: Document) -> DocumentQuerySet:
    """The row, if it is still in the hands of this attempt."""
    return Document.objects.filter(pk=document.pk, state=DocumentState.IN_WORK, attempt=document.attempt)


def renew(document: Document, *, now: dt.datetime) -> bool:
    """Lengthen the lease; False where it is lost."""
    return held(document).update(lease_until=now + LEASE) == 1


def report(document: Document, *, done: int, total: int, doing: str) -> None:
    """Say what is being done and how far it is.

    Raises:
        LeaseLostError: the document is in other hands.
    """
    if not held(document).update(progress_done=done, progress_total=total, doing=doing[:120]):
        raise LeaseLostError(str(document))


@contextmanager
def kept_lease(document: Document, *, clock: Clock) -> Iterator[None]:
    """Renew the lease from a thread of its own for as long as the block runs."""
    stop = threading.Event()
    keeper = threading.Thread(
        target=_keep, args=(document, stop, clock), name=f"lease {document.pk}", daemon=True
    )
    keeper.start()
    try:
        yield
    finally:
        stop.set()
        keeper.join()


def _keep(document: Document, stop: threading.Event, clock: Clock) -> None:
    try:
        keep_renewing(document, stop, clock)
    finally:
        connection.close()  # the thread's own


def keep_renewing(document: Document, stop: threading.Event, clock: Clock) -> None:
    """Renew until told to stop or the lease is lost."""
    while not stop.wait(RENEW_SECONDS):
        try:
            if not renew(document, now=clock()):
                return
        except DatabaseError:
            log.warning("%s: lease not renewed this time", document, exc_info=True)

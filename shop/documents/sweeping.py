"""The sweep: whatever was queued too long or left lying by a dead worker is sent again."""

import datetime as dt
import logging

from django.conf import settings
from kombu.exceptions import OperationalError

from shop.documents.asking import send
from shop.documents.delivering import fail, tried_too_often
from shop.documents.lease import ATTEMPTS
from shop.documents.models import Document

log = logging.getLogger(__name__)

# Longer than a paper waits in a queue that moves, short enough that nobody wonders where it is.
QUEUED_TOO_LONG = dt.timedelta(seconds=2 * settings.PAPER_SWEEP_SECONDS)


def sweep(*, now: dt.datetime) -> int:
    """Send again what nobody works on, give up what was tried too often; how many were sent."""
    for document in Document.objects.claimable(now=now).filter(attempt__gte=ATTEMPTS):
        fail(document, reason=tried_too_often(), now=now)
    waiting = Document.objects.claimable(now=now).sent_before(now - QUEUED_TOO_LONG).order_by("asked_at")
    sent = 0
    for document_id in waiting.values_list("pk", flat=True):
        try:
            send(document_id)
        except OperationalError:
            log.warning("The queue cannot be reached; %s waits", document_id)
            return sent
        Document.objects.filter(pk=document_id).update(sent_at=now)
        sent += 1
    return sent

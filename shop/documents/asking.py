"""Asking for a paper: a row with its own issue number, and a word to the workers."""

import datetime as dt
import logging
from collections.abc import Mapping
from typing import Any
from uuid import UUID, uuid4

from celery import current_app
from django.db import models, transaction

from shop.documents.currency import has_moved_on
from shop.documents.models import Document, DocumentState
from shop.events import append, lock_stream
from shop.models import Person

log = logging.getLogger(__name__)

RENDER_TASK = "documents.render"


class OtherWishError(Exception):
    """The identity of this wish belongs to another paper already."""


def ask(
    kind: str,
    stream: str,
    *,
    by: Person,
    now: dt.datetime,
    options: Mapping[str, Any],
    fresh_issue: bool = True,
    id: UUID | None = None,
) -> Document:
    """Ask for a paper of `kind` about `stream`.

    Args:
        options: what the person chose, such as the paper size.
        fresh_issue: False to be content with the newest issue, as long as the record has not changed since.
        id: the identity that the client gave this wish; the same again gives the same document.

    Raises:
        OtherWishError: the same identity was given to another wish.
    """
    with transaction.atomic():
        lock_stream(stream)
        newest = None if fresh_issue else _still_true(kind, stream, options)
        known = _known(id, kind, stream, options) or newest
        if known is not None:
            return known
        document = Document.objects.create(
            id=id or uuid4(),
            kind=kind,
            stream=stream,
            issue=_next_issue(kind, stream),
            options=dict(options),
            asked_by=by,
            asked_at=now,
            sent_at=now,
        )
        _tell(document, by, now)
        # Robust: with the broker down the row waits, and the sweep sends it.
        transaction.on_commit(lambda: send(document.id), robust=True)
    return document


def _tell(document: Document, by: Person, now: dt.datetime) -> None:
    data = {"document": str(document.id), "paper": document.kind, "issue": document.issue, "by": by.pk}
    options = dict(document.options)
    append(stream=document.stream, kind="document.asked", data={**data, "options": options}, now=now)


def send(document_id: UUID) -> None:
    """Tell the workers the number of a document; nothing else travels.

    Nobody waits here for a broker that is down: the sweep sends again what was not claimed.
    """
    current_app.send_task(RENDER_TASK, args=[str(document_id)], retry=False, ignore_result=True)


def _known(document_id: UUID | None, kind: str, stream: str, options: Mapping[str, Any]) -> Document | None:
    known = Document.objects.filter(pk=document_id).first() if document_id else None
    if known is None:
        return None
    if (known.kind, known.stream, known.options) != (kind, stream, dict(options)):
        raise OtherWishError(str(known))
    return known


def _still_true(kind: str, stream: str, options: Mapping[str, Any]) -> Document | None:
    newest = Document.objects.of(stream).filter(kind=kind).exclude(state=DocumentState.FAILED)
    for document in newest.order_by("-issue"):
        if document.options == dict(options):
            return None if has_moved_on(document) else document
    return None


def _next_issue(kind: str, stream: str) -> int:
    top = Document.objects.of(stream).filter(kind=kind).aggregate(top=models.Max("issue"))["top"]
    return (top or 0) + 1

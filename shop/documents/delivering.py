"""The end of an attempt: delivered, failed, or given back. A late twin changes nothing."""

import datetime as dt
import hashlib
import logging
import os
from pathlib import Path

from django.core.files.storage import default_storage
from django.db import transaction
from django.utils.translation import gettext as _

from shop.documents.lease import ATTEMPTS, held
from shop.documents.models import Document, DocumentState
from shop.events import append

log = logging.getLogger(__name__)


def finish(document: Document, pdf: bytes, *, now: dt.datetime) -> bool:
    """Deliver a paper; False where the document is in other hands by now.

    The file is complete on the disk before anybody can see its name. It takes its place while the row is
    held: a twin can neither come between nor write over it, and a row that says ready has its file.
    """
    part = _write_part(document, pdf)
    name = f"documents/{document.pk}.pdf"
    digest = hashlib.sha256(pdf).hexdigest()
    with transaction.atomic():
        delivered = held(document).update(
            state=DocumentState.READY,
            ready_at=now,
            file=name,
            sha256=digest,
            record_sequence=document.record_sequence,
            record_hash=document.record_hash,
            lease_until=None,
            doing="",
        )
        if delivered:
            part.replace(default_storage.path(name))
            _write_event(document, "document.issued", now=now, sha256=digest)
    for left in part.parent.glob(f"{document.pk}.*.part"):
        left.unlink(missing_ok=True)
    return bool(delivered)


def fail(document: Document, *, reason: str, now: dt.datetime) -> bool:
    """Say why there will be no paper; False where the document is in other hands by now."""
    with transaction.atomic():
        failed = held(document).update(state=DocumentState.FAILED, failure=reason, lease_until=None, doing="")
        if failed:
            _write_event(document, "document.failed", now=now)
    return bool(failed)


def give_back(document: Document, *, now: dt.datetime) -> None:
    """After a mishap: leave it for the sweep to send again, or fail when it was tried often enough."""
    if document.attempt >= ATTEMPTS:
        fail(document, reason=tried_too_often(), now=now)
        return
    held(document).update(state=DocumentState.ASKED, lease_until=None, sent_at=now, doing="")


def tried_too_often() -> str:
    return _(
        "It was begun %(count)s times and came to no end. Ask for it again; if that does not help, "
        "the log of the worker says what went wrong."
    ) % {"count": ATTEMPTS}


def _write_part(document: Document, pdf: bytes) -> Path:
    part = Path(default_storage.path(f"documents/{document.pk}.{document.attempt}.part"))
    part.parent.mkdir(parents=True, exist_ok=True)
    with part.open("wb") as file:
        file.write(pdf)
        file.flush()
        os.fsync(file.fileno())
    return part


def _write_event(document: Document, kind: str, *, now: dt.datetime, **more: str) -> None:
    append(
        stream=document.stream,
        kind=kind,
        data={
            "document": str(document.pk),
            "paper": document.kind,
            "issue": document.issue,
            "attempt": document.attempt,
            **more,
        },
        now=now,
    )

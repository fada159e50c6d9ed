"""Writing the record: every change leaves an event, chained by hash to the one before in its stream.

An event names the rows of evidence that it wrote, each with a digest of its fields. `shop.verification`
reads the chain and the rows again and names whatever was changed behind the application's back.
"""

import datetime as dt
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from django.core.exceptions import ObjectDoesNotExist
from django.db import models, transaction

from shop.canonical import canonical_bytes, sha256_of
from shop.models import Entry, Event, StreamHead
from shop.prepared import Prepared
from shop.quick_writes import insert, update

HEAD = Prepared(lambda stream: StreamHead.objects.select_for_update().filter(stream=stream))


class NotInTransactionError(RuntimeError):
    """An event was to be written apart from the change that it tells of."""


def lock_stream(stream: str) -> StreamHead:
    """Take the end of a stream; whoever comes second waits. To be called in a transaction."""
    if not transaction.get_connection().in_atomic_block:
        raise NotInTransactionError(f"an event of {stream} belongs into the transaction of its change")
    known = HEAD.first(stream=stream)
    return known or StreamHead.objects.get_or_create(stream=stream)[0]


def row_name(row: models.Model) -> str:
    return f"{row._meta.label_lower}:{row.pk}"


def row_digest(row: models.Model) -> str:
    """The digest of a row's fields as the database holds them, personal data left out.

    A model names its personal fields in `personal_fields`, so that they can be erased, and in
    `later_fields` those that came after its first version: while one holds its default it is left out,
    so that rows written before it was thought of keep the digest that the record has of them.
    """
    left_out: frozenset[str] = getattr(row, "personal_fields", frozenset())
    later: frozenset[str] = getattr(row, "later_fields", frozenset())
    fields = {}
    for field in row._meta.concrete_fields:
        value = field.to_python(getattr(row, field.attname))
        if field.name in left_out or (field.name in later and value == field.get_default()):
            continue
        fields[field.attname] = value
    return sha256_of(canonical_bytes(fields))


def event_hash(event: Event) -> str:
    """What chains an event: the hash before it and everything that it says."""
    return sha256_of(
        event.previous_hash.encode(),
        event.stream.encode(),
        str(event.sequence).encode(),
        event.kind.encode(),
        canonical_bytes(event.recorded_at),
        str(event.entry_id or "").encode(),
        bytes(event.payload),
    )


def append(
    *,
    stream: str,
    kind: str,
    data: Mapping[str, Any],
    now: dt.datetime,
    entry: Entry | None = None,
    rows: Iterable[models.Model] = (),
    removed: Iterable[models.Model] = (),
) -> Event:
    """Write one event in the caller's transaction.

    Args:
        stream: what the event is about, such as `job/1042`.
        data: what happened, in plain values; persons and customers by reference only.
        rows: the evidence that this change wrote, as just saved.
        removed: evidence that this change took away; still with its key.

    Raises:
        NotInTransactionError: outside of a transaction.
    """
    head = lock_stream(stream)
    written = {row_name(row): row_digest(_as_stored(row)) for row in rows}
    gone = sorted(row_name(row) for row in removed)
    payload = canonical_bytes({"data": dict(data), "rows": written, "removed": gone})
    event = Event(
        stream=stream,
        sequence=head.sequence + 1,
        kind=kind,
        recorded_at=now,
        entry=entry,
        payload=payload,
        previous_hash=head.hash,
    )
    event.hash = event_hash(event)
    insert(event)
    head.sequence, head.hash = event.sequence, event.hash
    update(head, "sequence", "hash")
    return event


def _as_stored(row: models.Model) -> models.Model:
    """The row as it reads back, so that the digest does not hang on how a value was given."""
    found: models.Model | None = _by_key(type(row)).first(key=row.pk)
    if found is None:
        raise ObjectDoesNotExist(f"{row_name(row)} was to be told of and is not stored")
    return found


@cache
def _by_key(model: type[models.Model]) -> Prepared[models.Model]:
    return Prepared(lambda key: model._base_manager.filter(pk=key))

"""The one door by which anything recorded from the floor comes in.

An entry carries the identity that its client gave it and the last entry that the client saw of the same
subject. So a form sent twice is answered twice but recorded once, and nobody writes over what they have
not seen. The tablet without a network is a second client of this door.
"""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.crypto import salted_hmac

from shop.canonical import canonical_bytes, sha256_of
from shop.events import append, lock_stream
from shop.models import Entry, Outcome
from shop.prepared import Prepared
from shop.quick_writes import insert, update

OTHER_CONTENT = "other_content"
# A hand that presses twice does so within this; later, the same words may well mean another thing.
SECOND_PRESS = dt.timedelta(seconds=10)

BY_IDENTITY = Prepared(lambda key: Entry.objects.filter(pk=key))
LAST = Prepared(
    lambda stream, subject: Entry.objects.filter(
        stream=stream, subject=subject, outcome=Outcome.ACCEPTED
    ).order_by("-position")[:1]
)
LAST_POSITION = Prepared(
    lambda stream: Entry.objects.filter(stream=stream).order_by("-position").values_list("position")[:1]
)


class Refused(Exception):  # noqa: N818 - a word of the shop, not a fault of the program
    """What was entered may not be recorded; `data` says why and what would clear it."""

    def __init__(self, message: str, *, data: Mapping[str, Any] | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.data = {"message": message, **(data or {})}


@dataclass(frozen=True)
class Envelope:
    """What a client sends."""

    id: UUID
    stream: str
    subject: str
    saw: UUID | None
    kind: str
    payload: dict[str, Any]
    signer_id: int
    signed_how: str
    entered_at: dt.datetime | None = None
    tablet_id: int | None = None
    personal_names: frozenset[str] = frozenset()

    @property
    def public(self) -> dict[str, Any]:
        """The payload without what is personal."""
        return {name: value for name, value in self.payload.items() if name not in self.personal_names}

    @property
    def personal(self) -> dict[str, Any]:
        return {name: value for name, value in self.payload.items() if name in self.personal_names}

    @property
    def digest(self) -> str:
        """Over all that was sent but its identity. The tablet is left out: who signs counts, not where.

        What is personal goes in keyed with the shop's secret: a name must not be found by trying names.
        """
        return sha256_of(
            canonical_bytes(
                [
                    self.stream,
                    self.subject,
                    self.saw,
                    self.kind,
                    self.public,
                    salted_hmac("shop.entries", canonical_bytes(self.personal)).hexdigest(),
                    self.signer_id,
                    self.signed_how,
                    self.entered_at,
                ]
            )
        )


@dataclass(frozen=True)
class Answer:
    """What the client is told."""

    outcome: str
    entry: Entry | None
    data: Mapping[str, Any] = field(default_factory=dict)
    repeated: bool = False

    @property
    def accepted(self) -> bool:
        return self.outcome == Outcome.ACCEPTED


Handle = Callable[[Entry], Mapping[str, Any]]


def last_entry(stream: str, subject: str) -> Entry | None:
    """The newest accepted entry on a subject: what the next one must have seen."""
    return LAST.first(stream=stream, subject=subject)


def last_entry_ids(stream: str) -> dict[str, UUID]:
    """The newest accepted entry of every subject of a stream."""
    rows = (
        Entry.objects.filter(stream=stream, outcome=Outcome.ACCEPTED)
        .order_by("position")
        .values_list("subject", "id")
    )
    return dict(rows)


def take_in(envelope: Envelope, *, now: dt.datetime, handle: Handle) -> Answer:
    """Record an entry, once.

    `handle` does what the entry asks for and returns what the client is to be told; it raises `Refused`
    where that may not be. All of it is one transaction.
    """
    with transaction.atomic():
        lock_stream(envelope.stream)
        known = BY_IDENTITY.first(key=envelope.id)
        if known is not None:
            return _answer_again(known, envelope)
        last = last_entry(envelope.stream, envelope.subject)
        if (last.id if last else None) != envelope.saw:
            if last is not None and _is_second_press(envelope, last, now):
                return Answer(last.outcome, last, last.answer, repeated=True)
            return _conflict(envelope, last, now)
        return _handle(envelope, last, now, handle)


def _is_second_press(envelope: Envelope, last: Entry, now: dt.datetime) -> bool:
    """Whether the last entry is sent once more by a form that had a new identity already.

    All of it is the same, from the same device, of somebody who had seen neither, and at once.
    """
    sent = [envelope.saw, envelope.kind, envelope.signer_id, envelope.signed_how, envelope.tablet_id]
    kept = [last.saw_id, last.kind, last.signer_id, last.signed_how, last.tablet_id]
    if sent != kept or now - last.received_at > SECOND_PRESS:
        return False
    return canonical_bytes([envelope.public, envelope.personal]) == canonical_bytes(
        [last.payload, last.personal]
    )


def _answer_again(known: Entry, envelope: Envelope) -> Answer:
    if known.digest == envelope.digest:
        return Answer(known.outcome, known, known.answer, repeated=True)
    both = {"first": _told(known), "second": {"kind": envelope.kind, "payload": envelope.public}}
    return Answer(OTHER_CONTENT, known, both)


def _told(entry: Entry) -> dict[str, Any]:
    return {
        "entry": str(entry.id),
        "kind": entry.kind,
        "payload": entry.payload,
        "signer": entry.signer_id,
        "received_at": entry.received_at.isoformat(),
        "answer": entry.answer,
    }


def _conflict(envelope: Envelope, last: Entry | None, now: dt.datetime) -> Answer:
    data = {"happened": _told(last) if last else None, "kept": envelope.public}
    entry = _save(envelope, now, last=None, outcome=Outcome.CONFLICT, answer=data)
    return Answer(entry.outcome, entry, data)


def _handle(envelope: Envelope, last: Entry | None, now: dt.datetime, handle: Handle) -> Answer:
    try:
        with transaction.atomic():
            entry = _save(envelope, now, last=last, outcome=Outcome.ACCEPTED, answer={})
            data = dict(handle(entry))
            entry.answer = data
            update(entry, "answer")
            append(
                stream=envelope.stream,
                kind=f"entry.{envelope.kind}",
                data={"subject": envelope.subject, "signer": envelope.signer_id, "digest": entry.digest},
                now=now,
                entry=entry,
                rows=[entry],
            )
    except Refused as refusal:
        entry = _save(envelope, now, last=last, outcome=Outcome.REFUSED, answer=dict(refusal.data))
        return Answer(entry.outcome, entry, entry.answer)
    return Answer(entry.outcome, entry, data)


def _save(
    envelope: Envelope, now: dt.datetime, *, last: Entry | None, outcome: str, answer: dict[str, Any]
) -> Entry:
    (taken,) = LAST_POSITION.first(stream=envelope.stream) or (0,)
    entry = Entry(
        id=envelope.id,
        stream=envelope.stream,
        subject=envelope.subject,
        saw=last,
        kind=envelope.kind,
        payload=envelope.public,
        personal=envelope.personal,
        entered_at=envelope.entered_at or now,
        received_at=now,
        signer_id=envelope.signer_id,
        signed_how=envelope.signed_how,
        tablet_id=envelope.tablet_id,
        digest=envelope.digest,
        outcome=outcome,
        answer=answer,
        position=taken + 1,
    )
    insert(entry)
    if outcome != Outcome.ACCEPTED:
        append(
            stream=envelope.stream,
            kind=f"entry.{outcome}",
            data={"subject": envelope.subject, "kind": envelope.kind, "signer": envelope.signer_id},
            now=now,
            entry=entry,
            rows=[entry],
        )
    return entry

"""Reading the record again: is the chain whole, and do the rows still say what was recorded?"""

import json
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import models

from shop.events import event_hash, row_digest
from shop.models import Event, StreamHead


@dataclass(frozen=True)
class Finding:
    """One thing in the record that is not as it was written."""

    where: str
    what: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}"


@dataclass(frozen=True)
class Verification:
    """What a reading of the whole record found."""

    streams: int
    events: int
    rows: int
    findings: tuple[Finding, ...]

    @property
    def is_whole(self) -> bool:
        return not self.findings


def verify_record() -> Verification:
    """Read every stream and every row of evidence that an event names.

    Finds events changed, removed or put in another order, a chain cut short against its head, rows
    changed, removed or added since. Somebody who rewrites the whole database, every later hash and every
    head with it, is found only by a hash kept elsewhere: each paper prints the one of its day.
    """
    findings: list[Finding] = []
    heads = {head.stream: head for head in StreamHead.objects.all()}
    last_digest: dict[str, str] = {}
    events = 0
    previous: Event | None = None
    for event in Event.objects.order_by("stream", "sequence").iterator(chunk_size=500):
        events += 1
        if previous is not None and previous.stream != event.stream:
            findings += _check_end(previous, heads.pop(previous.stream, None))
            previous = None
        findings += _check_link(event, previous)
        findings += _note_rows(event, last_digest)
        previous = event
    if previous is not None:
        findings += _check_end(previous, heads.pop(previous.stream, None))
    for head in heads.values():
        if head.sequence:
            findings.append(Finding(head.stream, f"all {head.sequence} events are gone"))
    rows = 0
    for finding, count in _check_rows(last_digest):
        rows += count
        if finding is not None:
            findings.append(finding)
    return Verification(StreamHead.objects.count(), events, rows, tuple(findings))


def _name(event: Event) -> str:
    return f"event {event.stream} {event.sequence} ({event.kind})"


def _check_link(event: Event, previous: Event | None) -> Iterator[Finding]:
    expected = (previous.sequence if previous else 0) + 1
    if event.sequence != expected:
        yield Finding(_name(event), f"events {expected} to {event.sequence - 1} before it are gone")
    if event.previous_hash != (previous.hash if previous else ""):
        yield Finding(_name(event), "does not follow the event before it")
    if event_hash(event) != event.hash:
        yield Finding(_name(event), "was changed after it was written")


def _check_end(last: Event, head: StreamHead | None) -> Iterator[Finding]:
    if head is None:
        yield Finding(last.stream, "the head of its chain is gone")
    elif (head.sequence, head.hash) != (last.sequence, last.hash):
        yield Finding(last.stream, f"its chain ends at event {last.sequence}, its head says {head.sequence}")


def _note_rows(event: Event, last_digest: dict[str, str]) -> Iterator[Finding]:
    try:
        payload = json.loads(bytes(event.payload))
        rows, removed = dict(payload["rows"]), list(payload["removed"])
    except (ValueError, KeyError, TypeError):
        yield Finding(_name(event), "cannot be read")
        return
    last_digest.update(rows)
    for name in removed:
        last_digest.pop(name, None)


def _check_rows(last_digest: dict[str, str]) -> Iterator[tuple[Finding | None, int]]:
    """Compare every row of every model of evidence with what the newest event says of it."""
    named: dict[str, dict[str, str]] = defaultdict(dict)
    for kept in apps.get_models():
        if getattr(kept, "is_evidence", False):
            named[kept._meta.label_lower] = {}
    for name, digest in last_digest.items():
        label, _, key = name.partition(":")
        named[label][key] = digest
    for label, digests in named.items():
        try:
            model: type[models.Model] = apps.get_model(label)
        except (LookupError, ValueError):
            yield Finding(label, "is no kind of evidence"), 0
            continue
        for row in model._base_manager.order_by("pk").iterator(chunk_size=500):
            expected = digests.pop(str(row.pk), None)
            yield _check_row(label, row, expected), 1
        for key in digests:
            yield Finding(f"row {label}:{key}", "was removed"), 0


def _check_row(label: str, row: models.Model, expected: str | None) -> Finding | None:
    if expected is None:
        return Finding(f"row {label}:{row.pk}", "was added without an event")
    try:
        found = row_digest(row)
    except (ValidationError, TypeError, ValueError):
        found = ""
    if found != expected:
        return Finding(f"row {label}:{row.pk}", "was changed")
    file_is_whole = getattr(row, "file_is_whole", None)
    if file_is_whole is not None and not file_is_whole():
        return Finding(f"row {label}:{row.pk}", "its file was changed or is gone")
    return None

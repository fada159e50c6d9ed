"""A job as one JSON file with its events, `format: 1`; docs/job_file.md says what stands where."""

import base64
import json
from collections.abc import Iterable
from typing import Any

from django.db import models

from jobs.models import Job, Photo
from shop.canonical import canonical_bytes
from shop.events import row_digest, row_name
from shop.models import Entry, Event, Person

FORMAT = 1


def job_file(job: Job) -> bytes:
    """Everything that is recorded of a job; the same record is always the same bytes."""
    entries = Entry.objects.filter(stream=job.stream).order_by("position")
    events = Event.objects.filter(stream=job.stream).order_by("sequence")
    told = {
        "format": FORMAT,
        "job": _row(job),
        "customer": {"reference": str(job.customer.reference), "name": job.customer.name},
        "vehicle": _row(job.vehicle),
        "procedure": {
            "code": job.procedure_revision.procedure.code,
            "revision": job.procedure_revision.revision,
        },
        "kit_order": job.kit_order.number,
        "people": {
            str(person.pk): {"username": person.username, "name": person.full_name}
            for person in Person.objects.filter(pk__in=_signers(entries)).order_by("pk")
        },
        "rows": [_row(row) for row in _rows(job)],
        "entries": [_row(entry) for entry in entries],
        "events": [_event(event) for event in events],
    }
    plain = json.loads(canonical_bytes(told))
    return json.dumps(plain, ensure_ascii=False, indent=1, sort_keys=True).encode() + b"\n"


def _signers(entries: Iterable[Entry]) -> set[int]:
    return {entry.signer_id for entry in entries}


def _rows(job: Job) -> list[models.Model]:
    """The rows of evidence that belong to the job, its photos as rows without their pictures."""
    found: list[models.Model] = []
    for relation in job._meta.related_objects:
        if relation.one_to_many and getattr(relation.related_model, "is_evidence", False):
            found += getattr(job, relation.get_accessor_name() or "").order_by("pk")
    of_operations = [row for row in found if row._meta.label_lower == "jobs.joboperation"]
    for operation in of_operations:
        for relation in operation._meta.related_objects:
            model = relation.related_model
            if relation.one_to_many and getattr(model, "is_evidence", False) and not hasattr(model, "job"):
                found += getattr(operation, relation.get_accessor_name() or "").order_by("pk")
    return found


def _row(row: models.Model) -> dict[str, Any]:
    """A row by its fields, what is personal left out, with the digest that events name it by."""
    personal: frozenset[str] = getattr(row, "personal_fields", frozenset())
    fields = {
        field.attname: field.to_python(getattr(row, field.attname))
        for field in row._meta.concrete_fields
        if field.name not in personal
    }
    if isinstance(row, Photo):
        fields["image"] = str(row.image.name)
    return {"row": row_name(row), "digest": row_digest(row), "fields": fields}


def _event(event: Event) -> dict[str, Any]:
    """An event with the very bytes that its hash was made of."""
    return {
        "sequence": event.sequence,
        "kind": event.kind,
        "recorded_at": event.recorded_at,
        "entry": str(event.entry_id) if event.entry_id else None,
        "payload": json.loads(bytes(event.payload)),
        "payload_base64": base64.b64encode(bytes(event.payload)).decode(),
        "previous_hash": event.previous_hash,
        "hash": event.hash,
    }

"""A job as one JSON file with its events, `format: 1`; docs/job_file.md says what stands where."""

import base64
import json
from collections.abc import Iterable
from typing import Any

from django.db import models

from jobs.exchange.job_rows import named_by, people_of, rows_of
from jobs.models import Job, JobOperation, Photo, ProcedureRevision
from jobs.procedures.bringing_in import export_procedure
from parts.models import KitDecision
from shop.canonical import canonical_bytes
from shop.events import row_digest, row_name
from shop.models import Entry, Event, Person

FORMAT = 1


def job_file(job: Job) -> bytes:
    """Everything that is recorded of a job; the same record is always the same bytes."""
    events = Event.objects.filter(stream=job.stream).order_by("sequence")
    rows = [*rows_of(job), *KitDecision.objects.filter(order=job.kit_order_id).order_by("pk")]
    entries = _entries(job, rows)
    everything = [job, *rows, *entries]
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
            for person in Person.objects.filter(pk__in=people_of(everything)).order_by("pk")
        },
        "named": named_by(everything),
        "procedures": _procedures(job, rows),
        "rows": [_row(row) for row in rows],
        "entries": [_row(entry) for entry in entries],
        "events": [_event(event) for event in events],
    }
    plain = json.loads(canonical_bytes(told))
    return json.dumps(plain, ensure_ascii=False, indent=1, sort_keys=True).encode() + b"\n"


def _entries(job: Job, rows: Iterable[models.Model]) -> list[Entry]:
    """All on the job itself; then those on its kit order of which one of its rows came."""
    own = list(Entry.objects.filter(stream=job.stream).order_by("position"))
    of_rows = {key for row in rows if (key := getattr(row, "entry_id", None)) is not None}
    others = Entry.objects.filter(pk__in=of_rows - {entry.pk for entry in own})
    return [*own, *others.order_by("stream", "position")]


def _procedures(job: Job, rows: Iterable[models.Model]) -> list[dict[str, Any]]:
    """The procedure of the job as its file, and what was added or done again for this car alone."""
    operations = [row.operation_id for row in rows if isinstance(row, JobOperation)]
    asked = models.Q(pk=job.procedure_revision_id) | models.Q(operations__in=operations)
    revisions = ProcedureRevision.objects.filter(asked).distinct().select_related("procedure")
    return [
        {
            "code": revision.procedure.code,
            "revision": revision.revision,
            "for_this_car": revision.for_job_id == job.pk,
            "file": export_procedure(revision),
        }
        for revision in revisions.order_by("pk")
    ]


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

"""Releasing a procedure's revision: from then on it never changes, and jobs are opened on it."""

import datetime as dt
import json

from django.db import transaction

from jobs.models.procedures import SAFETY_JOINTS, SAFETY_PROOFS, CheckpointKind, ProcedureRevision
from jobs.procedures.differences import ABOUT_ITSELF, Differences, ItemChange, differences
from jobs.procedures.file import CheckpointData, OperationData
from jobs.procedures.file.rows import data_of
from jobs.superseded import is_structural
from shop.events import append, lock_stream
from shop.models import Event, Person
from shop.revisions import RevisionState

WRITING = ("procedure.brought_in", "procedure.draft_replaced", "procedure.draft_changed")


def release_procedure(*, revision: ProcedureRevision, by: Person, now: dt.datetime) -> ProcedureRevision:
    """Release a draft; the revision released before it is superseded. Released already: nothing is done.

    Jobs that are open stay on the revision that they began with.
    """
    with transaction.atomic():
        lock_stream(procedure_stream(revision))
        revision.refresh_from_db()
        if revision.state != RevisionState.DRAFT:
            return revision
        older = list(revision.procedure.revisions.filter(state=RevisionState.RELEASED, for_job=None))
        for one in older:
            one.state = RevisionState.SUPERSEDED
            one.save(update_fields=["state"])
        revision.state = RevisionState.RELEASED
        revision.released_at = now
        revision.save(update_fields=["state", "released_at"])
        append(
            stream=procedure_stream(revision),
            kind="procedure.released",
            data={"revision": revision.revision, "by": by.pk},
            now=now,
            rows=[revision, *older],
        )
    return revision


def writers_of(revision: ProcedureRevision) -> frozenset[int]:
    """The keys of whoever brought a revision in, replaced it or wrote on it."""
    events = Event.objects.filter(stream=procedure_stream(revision), kind__in=WRITING)
    told = (json.loads(bytes(event.payload))["data"] for event in events)
    return frozenset(each["by"] for each in told if each.get("revision") == revision.revision)


def in_force_of(revision: ProcedureRevision) -> ProcedureRevision | None:
    """The released revision that a draft would supersede."""
    of_everybody = revision.procedure.revisions.filter(state=RevisionState.RELEASED, for_job=None)
    return of_everybody.select_related("procedure").first()


def safety_touched(revision: ProcedureRevision) -> tuple[str, ...]:
    """The operations with steering, suspension, brakes or welds in them, or gates, that a draft changes."""
    old, new = in_force_of(revision), data_of(revision)
    if old is None:
        return tuple(operation.code for operation in new.operations if is_safety(operation))
    before = data_of(old)
    found = differences(before, new)
    if any(change.key not in ABOUT_ITSELF for change in found.fields):
        drawn = (o for o in new.operations if is_structural(o.stage, o.gates))
        return tuple(dict.fromkeys([*(o.code for o in drawn), *_changed(found)]))
    return tuple(_changed(found))


def _changed(found: Differences) -> list[str]:
    return [c.code for c in found.operations if is_safety(c.old) or is_safety(c.new) or _gates(c)]


def _gates(change: ItemChange) -> bool:
    if change.old is None or change.new is None:
        return bool(getattr(change.new or change.old, "gates", ()))
    return any(field.key == "gates" for field in change.fields)


def is_safety(operation: OperationData | CheckpointData | None) -> bool:
    """Whether steering, suspension, brakes or welds are proved in an operation."""
    return any(
        c.joint in SAFETY_JOINTS or c.kind == CheckpointKind.WELD or not SAFETY_PROOFS.isdisjoint(c.proves)
        for c in getattr(operation, "checkpoints", ())
    )


def needs_other_eyes(revision: ProcedureRevision, *, by: Person) -> tuple[str, ...]:
    """The operations for which somebody else must release it: whoever wrote on it is not the only eyes."""
    return safety_touched(revision) if by.pk in writers_of(revision) else ()


def procedure_stream(revision: ProcedureRevision) -> str:
    return f"procedure/{revision.procedure.code}"

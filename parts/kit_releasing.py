"""Releasing a kit's revision: from then on it never changes, and kits are ordered by it."""

import datetime as dt
import json

from django.db import transaction

from parts.cars import cars
from parts.kit_differences import kit_differences
from parts.kit_sheet import kit_sheet
from parts.models import KitRevision
from shop.events import append, lock_stream
from shop.models import Event, Person
from shop.revisions import RevisionState

WRITING = ("kit.brought_in", "kit.draft_replaced", "kit.draft_changed")


def release_kit(*, revision: KitRevision, by: Person, now: dt.datetime) -> KitRevision:
    """Release a draft; the revision released before it is superseded. Released already: nothing is done."""
    with transaction.atomic():
        stream = kit_stream(revision)
        lock_stream(stream)
        revision.refresh_from_db()
        if revision.state != RevisionState.DRAFT:
            return revision
        older = list(revision.kit.revisions.filter(state=RevisionState.RELEASED))
        for one in older:
            one.state = RevisionState.SUPERSEDED
            one.save(update_fields=["state"])
        revision.state = RevisionState.RELEASED
        revision.released_at = now
        revision.save(update_fields=["state", "released_at"])
        append(
            stream=stream,
            kind="kit.released",
            data={"revision": revision.revision, "by": by.pk},
            now=now,
            rows=[revision, *older],
        )
    return revision


def in_force_of(revision: KitRevision) -> KitRevision | None:
    """The released revision of the same kit."""
    return revision.kit.revisions.filter(state=RevisionState.RELEASED).select_related("kit__supplier").first()


def safety_touched(revision: KitRevision) -> tuple[str, ...]:
    """The parts that a draft changes and that operations with steering, suspension, brakes or welds need."""
    safety = cars().safety_operations(revision.kit.code)
    old, new = in_force_of(revision), kit_sheet(revision)
    if old is None:
        return tuple(line.part_number for line in new.lines if line.operation in safety)
    found = kit_differences(kit_sheet(old), new).operations
    return tuple(change.code for change in found if not change.operations.isdisjoint(safety))


def needs_other_eyes(revision: KitRevision, *, by: Person) -> tuple[str, ...]:
    """The parts for which somebody else must release it: whoever wrote on it is not the only eyes."""
    return safety_touched(revision) if by.pk in _writers_of(revision) else ()


def _writers_of(revision: KitRevision) -> frozenset[int]:
    events = Event.objects.filter(stream=kit_stream(revision), kind__in=WRITING)
    told = (json.loads(bytes(event.payload))["data"] for event in events)
    return frozenset(each["by"] for each in told if each.get("revision") == revision.revision)


def kit_stream(revision: KitRevision) -> str:
    return f"kit/{revision.kit.code}"

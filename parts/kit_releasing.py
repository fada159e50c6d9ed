"""Releasing a kit's revision: from then on it never changes, and kits are ordered by it."""

import datetime as dt

from django.db import transaction

from parts.models import KitRevision
from shop.events import append, lock_stream
from shop.models import Person
from shop.revisions import RevisionState


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


def kit_stream(revision: KitRevision) -> str:
    return f"kit/{revision.kit.code}"

"""Releasing a procedure's revision: from then on it never changes, and jobs are opened on it."""

import datetime as dt

from django.db import transaction

from jobs.models.procedures import ProcedureRevision
from shop.events import append, lock_stream
from shop.models import Person
from shop.revisions import RevisionState


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


def procedure_stream(revision: ProcedureRevision) -> str:
    return f"procedure/{revision.procedure.code}"

"""First readings that nobody is shown yet: a second person has still to read the same, not knowing them."""

from collections.abc import Iterable

from django.db.models import Q
from django.utils.translation import gettext as _

from jobs.models import Checkpoint, CheckpointKind, Result, ResultVerdict
from jobs.record import JobRecord


def unwitnessed(results: Iterable[Result]) -> frozenset[int]:
    """The keys of those results whose witness has not closed yet, in two queries; none where none is read.

    A page that shows one car asks its record instead (`JobRecord.awaits_witness`).
    """
    on_the_floor = [r for r in results if r.job_operation.job.released_at is None]
    rows = Checkpoint.objects.filter(
        kind=CheckpointKind.WITNESS, witness_of__in={r.checkpoint.code for r in on_the_floor}
    ).values_list("pk", "witness_of", "operation__revision")
    witnesses: dict[tuple[str, int], list[int]] = {}
    for key, first, revision in rows if on_the_floor else ():
        witnesses.setdefault((first, revision), []).append(key)
    closed = set(
        Result.objects.filter(
            Q(verdict=ResultVerdict.CONFORMS) | Q(acceptance__isnull=False),
            checkpoint__in=[key for keys in witnesses.values() for key in keys],
            reopening=None,
            superseded_by=None,
        ).values_list("job_operation__job", "checkpoint")
        if witnesses
        else ()
    )
    return frozenset(
        r.pk
        for r in on_the_floor
        for key in witnesses.get((r.checkpoint.code, r.job_operation.operation.revision_id), ())
        if (r.job_operation.job_id, key) not in closed
    )


def held_back(record: JobRecord) -> str:
    """Why the whole record of a car is not given out now; "" where no first reading is hidden."""
    codes = [standing.code for standing in record.checkpoints if record.awaits_witness(standing)]
    if not codes:
        return ""
    words = _("The whole record would show the first reading of %(codes)s to whoever has still to read it")
    return words % {"codes": ", ".join(codes)}

"""The instrument that is in somebody's hand: it need not be picked again."""

from collections.abc import Sequence

from jobs.judging.instruments import Choice
from jobs.record import CheckpointStanding, JobRecord


def in_hand(record: JobRecord, standing: CheckpointStanding, choices: Sequence[Choice]) -> str:
    """The instrument that was last used in this operation, if it may be used here."""
    operation = record.find(standing.job_operation.operation.code)
    used = [r for c in (operation.checkpoints if operation else ()) for r in c.results if r.instrument_id]
    usable = {c.row.pk: c.row.code for c in choices if c.is_usable}
    newest = max(used, key=lambda r: r.pk, default=None)
    return usable.get(newest.instrument_id or 0, "") if newest else ""

"""What a problem stops: whatever comes after it waits until a lead has decided what is done about it."""

import datetime as dt
from collections.abc import Iterator

from jobs.gates.needs import JOINTS_OF, NEEDS, PROVED_INSIDE
from jobs.gates.words import open_nonconformance
from jobs.models import Flag
from jobs.reasons import Reason
from jobs.record import JobRecord, OperationStanding


def before_problems_are_decided(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """Nothing is undecided at it or anywhere on the way to it, nor open straight before it."""
    straight = {one.code for one in record.must_come_before(operation)}
    further = record.on_the_way_to(operation) | {operation.code}
    for row in record.open_nonconformances:
        code = row.job_operation.operation.code
        if code in straight or (code in further and not row.disposition):
            yield open_nonconformance(row.number, row.text)


def before_what_it_stands_on_is_settled(
    record: JobRecord, operation: OperationStanding, now: dt.datetime
) -> Iterator[Reason]:
    """No problem is open where something was proved, or tightened, that a gate of this operation asks for.

    A problem need not be about a checkpoint: what was seen beside it counts as much.
    """
    at = {one.job_operation.pk for one in record.earlier(operation) if _stands_on(operation, one)}
    for row in record.open_nonconformances:
        if row.job_operation_id in at:
            yield open_nonconformance(row.number, row.text)


def _stands_on(operation: OperationStanding, earlier: OperationStanding) -> bool:
    flags = [flag for flag in Flag if operation.does(flag) and flag not in PROVED_INSIDE]
    proofs = {what for flag in flags for what in NEEDS.get(flag, ())}
    joints = {joint for flag in flags for joint in JOINTS_OF.get(flag, ())}
    return any(
        c.checkpoint.joint in joints or not proofs.isdisjoint(c.checkpoint.proves)
        for c in earlier.checkpoints
    )

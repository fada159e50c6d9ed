"""What stands against recording a weld of the map: the same words at the door and in place of its button."""

import datetime as dt

from django.utils.translation import gettext as _

from jobs.gates.conditions import reasons_against_work
from jobs.gates.words import open_nonconformance
from jobs.models import OperationState
from jobs.reasons import Reason
from jobs.record import JobRecord, OperationStanding

MAY_BE_WELDED = frozenset({OperationState.IN_WORK, OperationState.FINISHED})


def against_welding(
    record: JobRecord, operation: OperationStanding, *, now: dt.datetime
) -> tuple[str, list[Reason]]:
    """Why no weld may be recorded in an operation: what is said, and each reason; "" where one may.

    What a lead has still to decide about holds the next spark: more welds only make it harder to put right.
    """
    code = {"code": operation.code}
    if operation.state not in MAY_BE_WELDED:
        return _("%(code)s is not in work; start it first") % code, []
    row = operation.job_operation.pk
    undecided = (n for n in record.open_nonconformances if n.job_operation_id == row and not n.disposition)
    reasons = [
        *reasons_against_work(record, operation, now=now),
        *(open_nonconformance(n.number, n.text) for n in undecided),
    ]
    return (_("%(code)s may not go on yet") % code if reasons else ""), reasons

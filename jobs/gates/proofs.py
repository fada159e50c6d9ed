"""Whether what a gate asks for is proved: recorded, conforming, not lapsed, not in doubt."""

import datetime as dt
from collections.abc import Iterator

from django.utils.translation import gettext as _

from jobs.gates.needs import NEEDS
from jobs.gates.words import nothing_proves, open_checkpoint, open_nonconformance
from jobs.models import Flag, OperationState, Proves
from jobs.reasons import LEAD, NOBODY, Reason
from jobs.record import CheckpointStanding, CheckState, JobRecord, OperationStanding

# What a lead may set aside; everything else that a gate asks for holds without exception.
LEAD_MAY_SET_ASIDE = frozenset(
    {Proves.BASELINE, Proves.COUPON, Proves.TRIAL_FIT, Proves.TACK_POSITION, Proves.REMEASURE}
)


def all_proved_before(
    record: JobRecord, operation: OperationStanding, flag: Flag, now: dt.datetime
) -> Iterator[Reason]:
    """What is missing of everything that a gate needs from the operations before it."""
    for what in NEEDS[flag]:
        yield from _proved_before(record, operation, what, now)


def _proved_before(
    record: JobRecord, operation: OperationStanding, what: Proves, now: dt.datetime
) -> Iterator[Reason]:
    proofs = [
        c
        for o in record.earlier(operation)
        if o.state != OperationState.NOT_APPLICABLE
        for c in o.checkpoints
        if c.proves(what)
    ]
    if not proofs:
        yield nothing_proves(operation, what)
    for standing in proofs:
        yield from not_proved(record, standing, what, now)


def not_proved(
    record: JobRecord, standing: CheckpointStanding, what: Proves, now: dt.datetime
) -> Iterator[Reason]:
    """Why a checkpoint does not prove what it should.

    Only what was never recorded can be set aside: what was recorded badly, or was opened again, is decided
    about or recorded anew.
    """
    never = standing.checkpoint.is_safety or standing.state != CheckState.OPEN
    allowed = LEAD if what in LEAD_MAY_SET_ASIDE and not never else NOBODY
    if not standing.is_closed:
        yield open_checkpoint(standing, allowed)
        return
    yield from in_doubt(record, standing)
    lapsed = record.lapsed(standing, now=now)
    if lapsed:
        yield Reason(
            f"lapsed:{standing.code}",
            f"{standing.code} {standing.checkpoint.title}: {lapsed}",
            _("Record %(code)s again") % {"code": standing.code},
            standing.code,
        )


def in_doubt(record: JobRecord, standing: CheckpointStanding) -> Iterator[Reason]:
    """The nonconformances that are open about a checkpoint, though it has a result in force."""
    for row in record.open_nonconformances:
        if row.checkpoint_id == standing.checkpoint.pk:
            yield open_nonconformance(row.number, row.text)

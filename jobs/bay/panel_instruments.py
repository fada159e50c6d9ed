"""The instruments that a panel offers: those that may be used, and the one that is in hand."""

import datetime as dt
from collections.abc import Sequence

from django.utils.translation import gettext as _

from jobs.bay.panel_fields import PickInstrument, Typed
from jobs.bay.position_panel import position_instruments
from jobs.judging.instrument_in_hand import in_hand
from jobs.judging.instruments import agreed_rule, choices_for
from jobs.judging.judged_how import fallback_rule
from jobs.judging.limits import parsed
from jobs.models import Checkpoint, CheckpointKind
from jobs.record import CheckpointStanding, JobRecord
from shop.models import Instrument


def pick_fields(
    record: JobRecord,
    standing: CheckpointStanding,
    checkpoint: Checkpoint,
    instruments: Sequence[Instrument],
    typed: Typed,
    now: dt.datetime,
    mark_unit: str,
) -> tuple[PickInstrument, ...]:
    """The instruments for what is read, and for the angle where one is turned after it."""
    if checkpoint.kind == CheckpointKind.POSITION:
        return position_instruments(record, checkpoint, instruments, typed.values, typed.errors, now)
    limits, angle = parsed(checkpoint.limit, record.settings), parsed(checkpoint.angle, record.settings)
    equal = parsed(checkpoint.equal, record.settings)
    asked = [("instrument", _("Read with"), checkpoint.instrument_kind, limits, equal)]
    if angle is not None:
        asked.append(
            ("angle_instrument", _("Angle read with"), checkpoint.angle_instrument_kind, angle, None)
        )
    found = []
    for name, label, kind, limit, alike in asked:
        unit = limit.unit if limit else checkpoint.records or mark_unit
        if not kind or not unit:
            continue
        choices = choices_for(
            [limit] if limit else [],
            unit=unit,
            kind=kind,
            instruments=instruments,
            on=now.astimezone(record.zone).date(),
            rule=agreed_rule(record.settings),
            equal=alike,
            fallback=fallback_rule(checkpoint),
        )
        value = typed.values.get(name) or in_hand(record, standing, choices)
        found.append(
            PickInstrument(f"p_{name}", label, kind, tuple(choices), value, typed.errors.get(name, ""))
        )
    return tuple(found)

"""What a tablet and a paper ask for at a position: every reading, with what it should be."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from django.utils.translation import gettext as _

from jobs.bay.panel_fields import PickInstrument, ReadingField
from jobs.judging.cradle import Cradle, NamedReading
from jobs.judging.instruments import agreed_rule, choices_for
from jobs.judging.position import PREFIX
from jobs.models import Checkpoint
from jobs.record import JobRecord
from shop.engineering.quantities.measures import Quantity
from shop.engineering.quantities.writer import format_quantity
from shop.models import Instrument


def position_fields(
    checkpoint: Checkpoint, values: Mapping[str, str], errors: Mapping[str, str]
) -> tuple[ReadingField, ...]:
    """One field for each reading; none of them must be filled."""
    cradle = Cradle.of(checkpoint.frame)
    return tuple(
        ReadingField(
            name=f"p_{PREFIX}{reading.code}",
            label=_("%(code)s %(what)s, should be %(figure)s")
            % {"code": reading.code, "what": reading.label, "figure": should_read(cradle, reading)},
            unit=cradle.unit_of(reading.asked),
            kind="inch" if cradle.unit_of(reading.asked) == "in" else "decimal",
            value=values.get(f"{PREFIX}{reading.code}", ""),
            error=errors.get(f"{PREFIX}{reading.code}", ""),
            id=f"{checkpoint.code}-{reading.code}",
            signed=True,
            is_required=False,
        )
        for reading in cradle.readings
    )


def position_labels(checkpoint: Checkpoint) -> Iterable[tuple[str, str]]:
    """Label and unit of each reading, for paper."""
    cradle = Cradle.of(checkpoint.frame)
    for reading in cradle.readings:
        figure = should_read(cradle, reading)
        yield f"{reading.code} {reading.label} ({figure})", cradle.unit_of(reading.asked)


def should_read(cradle: Cradle, reading: NamedReading) -> str:
    """What a reading shows when the cradle is where it belongs."""
    if reading.asked.is_angle:
        return f"{reading.should:.1f}°".replace("-", "−")
    q = Quantity(Fraction(round(reading.should * 10**6), 10**6), "mm")
    if cradle.unit == "mm":
        return format_quantity(q, places=1)
    return format_quantity(q, unit="in", fraction=32)


def position_instruments(
    record: JobRecord,
    checkpoint: Checkpoint,
    instruments: Sequence[Instrument],
    values: Mapping[str, str],
    errors: Mapping[str, str],
    now: dt.datetime,
) -> tuple[PickInstrument, ...]:
    """What lengths are read with, and what angles are, where the cradle asks for any."""
    cradle = Cradle.of(checkpoint.frame)
    units = {cradle.unit_of(reading.asked) for reading in cradle.readings}
    asked = (
        ("instrument", _("Lengths read with"), checkpoint.instrument_kind, units - {"°"}),
        ("angle_instrument", _("Angles read with"), checkpoint.angle_instrument_kind, units & {"°"}),
    )
    found = []
    for name, label, kind, of in asked:
        if not of:
            continue
        choices = choices_for(
            [],
            unit=of.pop(),
            kind=kind,
            instruments=instruments,
            on=now.astimezone(record.zone).date(),
            rule=agreed_rule(record.settings),
        )
        value, error = values.get(name, ""), errors.get(name, "")
        found.append(PickInstrument(f"p_{name}", label, kind, tuple(choices), value, error))
    return tuple(found)

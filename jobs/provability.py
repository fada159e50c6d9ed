"""Which limits of a procedure the shop's instruments can prove today, and what could where they cannot."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from jobs.limits import parsed
from jobs.procedure_file import CheckpointData, ProcedureData, Remark
from shop.engineering.decision import InstrumentData, Rule, can_prove, rule_named
from shop.engineering.limits import Limits
from shop.engineering.quantities import Dimension
from shop.instrument_data import InstrumentFigureError, instrument_data, measures
from shop.models import Instrument, InstrumentKind, ShopSettings


@dataclass(frozen=True)
class Asked:
    """One limit of a checkpoint and the kind of instrument that the procedure names for it."""

    checkpoint: CheckpointData
    key: str
    limits: Limits
    kind: str


@dataclass(frozen=True)
class Unprovable:
    """A limit that the named kind of instrument cannot prove here, and why."""

    asked: Asked
    message: str

    def as_remark(self) -> Remark:
        checkpoint = self.asked.checkpoint
        return Remark(
            checkpoint.line_of(self.asked.key) or None, f"{checkpoint.code} {self.asked.key}", self.message
        )


class Bench:
    """The shop's instruments that are in calibration on a day."""

    def __init__(self, rows: list[Instrument], *, today: dt.date, rule: Rule) -> None:
        self.rule = rule
        self.usable: list[InstrumentData] = []
        self.unreadable: list[InstrumentFigureError] = []
        for row in rows:
            if row.is_in_calibration(on=today):
                try:
                    self.usable.append(instrument_data(row, row.calibration(on=today)))
                except InstrumentFigureError as fault:
                    self.unreadable.append(fault)

    @classmethod
    def of_today(cls, *, now: dt.datetime, settings: ShopSettings) -> "Bench":
        today = now.astimezone(ZoneInfo(settings.zone)).date()
        rows = list(Instrument.objects.prefetch_related("calibrations").order_by("code"))
        return cls(rows, today=today, rule=rule_named(settings.decision_rule))

    def judge(self, asked: Asked) -> Unprovable | None:
        """Why a limit cannot be proved with the kind of instrument that the procedure names."""
        dimension = asked.limits.dimension
        able = [i for i in self.usable if i.dimension == dimension]
        named = [(i, can_prove(asked.limits, i, self.rule)) for i in able if i.kind == asked.kind]
        if any(capability.provable for _instrument, capability in named):
            return None
        parts = {"text": asked.limits.text, "kind": InstrumentKind(asked.kind).label}
        if named:
            best, capability = max(named, key=lambda pair: pair[1].ratio)
            message = _("“%(text)s” can never be proved with the best %(kind)s here, %(code)s: %(why)s")
            said = message % {**parts, "code": best.code, "why": capability.sentence}
        else:
            said = _("“%(text)s”: there is no %(kind)s in calibration here") % parts
        return Unprovable(asked, f"{said.rstrip('.')}. {self._what_could(asked, able, dimension)}")

    def _what_could(self, asked: Asked, able: list[InstrumentData], dimension: Dimension) -> str:
        finer = [
            f"{InstrumentKind(i.kind).label} {i.code}"
            for i in able
            if i.kind != asked.kind and can_prove(asked.limits, i, self.rule).provable
        ]
        if finer:
            return _("These could: %(finer)s") % {"finer": ", ".join(finer)}
        others = [
            str(kind.label) for kind in InstrumentKind if kind != asked.kind and dimension in measures(kind)
        ]
        if not others:
            return _("No other kind of instrument measures it")
        return _("No instrument here could; look for a finer one (%(kinds)s)") % {"kinds": ", ".join(others)}


def asked_of(data: ProcedureData, settings: ShopSettings) -> Iterator[Asked]:
    """Every limit of a procedure that an instrument has to prove.

    A witness proves the limit of what it reads again; with the same kind of instrument it is not told twice.
    """
    by_code = {checkpoint.code: checkpoint for _operation, checkpoint in data.checkpoints()}
    for _operation, checkpoint in data.checkpoints():
        asked = [
            ("limit", checkpoint.limit, checkpoint.instrument),
            ("angle", checkpoint.angle, checkpoint.angle_instrument),
        ]
        first = by_code.get(checkpoint.witness_of)
        if first is not None and checkpoint.instrument not in ("", first.instrument):
            asked.append(("instrument", first.limit, checkpoint.instrument))
        for key, text, kind in asked:
            limits = parsed(text, settings)
            if limits is not None and kind:
                yield Asked(checkpoint, key, limits, kind)


def unprovable(data: ProcedureData, *, now: dt.datetime, settings: ShopSettings) -> tuple[Unprovable, ...]:
    """The limits that the shop's instruments of the named kinds cannot prove today."""
    bench = Bench.of_today(now=now, settings=settings)
    judged = (bench.judge(asked) for asked in asked_of(data, settings))
    return tuple(found for found in judged if found is not None)


def provability_remarks(data: ProcedureData, *, now: dt.datetime) -> Iterator[Remark]:
    """The same, as what the writer of the file should know."""
    for found in unprovable(data, now=now, settings=ShopSettings.current()):
        yield found.as_remark()

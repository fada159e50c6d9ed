"""Which limits of a procedure the shop's instruments can prove today, and what could where they cannot."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from jobs.judging.limits import parsed
from jobs.models.procedures import CheckpointKind
from jobs.procedures.file import CheckpointData, ProcedureData, Remark
from shop.engineering.decision import (
    Capability,
    InstrumentData,
    Rule,
    can_prove,
    can_prove_equal,
    rule_named,
)
from shop.engineering.limits import Limits
from shop.engineering.quantities import Quantity
from shop.instrument_data import InstrumentFigureError, instrument_data, measures
from shop.models import Instrument, InstrumentKind, ShopSettings


@dataclass(frozen=True)
class Asked:
    """One limit of a checkpoint and the kind of instrument that the procedure names for it.

    `at` is about where left and right are read, for a limit of what they may differ by.
    """

    checkpoint: CheckpointData
    key: str
    limits: Limits
    kind: str
    at: Quantity | None = None

    def reached_by(self, instrument: InstrumentData) -> bool:
        """Whether left and right lie in its range; for other limits that is part of the proof."""
        return self.at is None or instrument.covers(self.at)

    def proved_by(self, instrument: InstrumentData, rule: Rule) -> Capability:
        if self.at is not None:
            return can_prove_equal(self.limits, instrument, self.at, rule)
        return can_prove(self.limits, instrument, rule)


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


@dataclass(frozen=True)
class Proof:
    """An instrument that can prove a limit; the measurement capability index where there are two limits."""

    asked: Asked
    code: str
    ratio: Fraction | None
    is_named_kind: bool

    def __str__(self) -> str:
        return self.code if self.ratio is None else f"{self.code} ({float(self.ratio):.1f} : 1)"


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

    def provers(self, asked: Asked) -> Iterator[Proof]:
        """The instruments that can prove a limit, those of the named kind first, with their ratio."""
        able = [i for i in self.usable if i.dimension == asked.limits.dimension and asked.reached_by(i)]
        for instrument in sorted(able, key=lambda i: (i.kind != asked.kind, i.code)):
            found = asked.proved_by(instrument, self.rule)
            if found.provable:
                yield Proof(asked, instrument.code, found.ratio, instrument.kind == asked.kind)

    def judge(self, asked: Asked) -> Unprovable | None:
        """Why a limit cannot be proved with the kind of instrument that the procedure names."""
        able = [i for i in self.usable if i.dimension == asked.limits.dimension]
        named = [asked.proved_by(i, self.rule) for i in able if i.kind == asked.kind]
        if any(capability.provable for capability in named):
            return None
        parts = {"text": asked.limits.text, "kind": InstrumentKind(asked.kind).label}
        if named:
            said = _("“%(text)s” cannot be proved with a %(kind)s of this shop.") % parts
            said = f"{said} {min(named, key=_uncertainty).sentence.translated(_)}"
        else:
            said = _("“%(text)s”: there is no %(kind)s in calibration here.") % parts
        return Unprovable(asked, f"{said} {self._what_could(asked, able)}")

    def _what_could(self, asked: Asked, able: list[InstrumentData]) -> str:
        """The other instruments of the shop that could prove it, or the kinds among which to look for one."""
        finer = [
            f"{InstrumentKind(i.kind).label} {i.code}"
            for i in able
            if i.kind != asked.kind and asked.reached_by(i) and asked.proved_by(i, self.rule).provable
        ]
        if finer:
            return _("These could: %(finer)s.") % {"finer": ", ".join(finer)}
        kinds = [str(kind.label) for kind in InstrumentKind if asked.limits.dimension in measures(kind)]
        message = _("No other instrument in calibration here could; look for one that can: %(kinds)s.")
        return message % {"kinds": ", ".join(kinds)}


def _uncertainty(capability: Capability) -> tuple[bool, int]:
    """The finest first; one that measures something else last."""
    found = capability.thresholds
    return (True, 0) if found is None else (False, found.expanded_uncertainty)


def asked_of(data: ProcedureData, settings: ShopSettings) -> Iterator[Asked]:
    """Every limit of a procedure that an instrument has to prove.

    A witness proves the limit of what it reads again; with the same kind of instrument it is not told twice.
    """
    by_code = {checkpoint.code: checkpoint for _operation, checkpoint in data.checkpoints()}
    for _operation, checkpoint in data.checkpoints():
        # A position is fitted to many readings: what one of them can prove decides nothing.
        if checkpoint.kind == CheckpointKind.POSITION:
            continue
        limits = parsed(checkpoint.limit, settings)
        equal = parsed(checkpoint.equal, settings)
        if limits is not None and checkpoint.instrument:
            yield Asked(checkpoint, "limit", limits, checkpoint.instrument)
        if equal is not None and checkpoint.instrument:
            at = (limits.nominal or limits.largest) if limits else equal.largest
            yield Asked(checkpoint, "equal", equal, checkpoint.instrument, at)
        angle = parsed(checkpoint.angle, settings)
        if angle is not None and checkpoint.angle_instrument:
            yield Asked(checkpoint, "angle", angle, checkpoint.angle_instrument)
        first = by_code.get(checkpoint.witness_of)
        if first is not None and checkpoint.instrument not in ("", first.instrument):
            witnessed = parsed(first.limit, settings)
            if witnessed is not None:
                yield Asked(checkpoint, "instrument", witnessed, checkpoint.instrument)


@dataclass(frozen=True)
class Survey:
    """What the shop's instruments cannot do for a procedure today."""

    unprovable: tuple[Unprovable, ...]
    unreadable: tuple[str, ...]
    proofs: tuple[Proof, ...] = ()

    def remarks(self) -> Iterator[Remark]:
        """The same, as what the writer of the file should know."""
        for message in self.unreadable:
            yield Remark(None, _("instrument"), message)
        for found in self.unprovable:
            yield found.as_remark()


def survey(data: ProcedureData, *, now: dt.datetime, settings: ShopSettings) -> Survey:
    """Which limits the shop's instruments of the named kinds cannot prove today."""
    bench = Bench.of_today(now=now, settings=settings)
    limits = list(asked_of(data, settings))
    judged = (bench.judge(asked) for asked in limits)
    return Survey(
        tuple(found for found in judged if found is not None),
        tuple(map(str, bench.unreadable)),
        tuple(proof for asked in limits for proof in bench.provers(asked)),
    )

"""Whether the limits of a procedure can be read, are of the right kind, and fit what they are read with."""

from django.utils.translation import gettext as _

from jobs.judging.limits import parsed
from jobs.models.procedures import CheckpointKind
from jobs.procedures.file.data import CheckpointData, ProcedureData
from jobs.procedures.file.fields import Faults
from jobs.procedures.file.remarks import Remark
from shop.engineering.limits import Limits
from shop.engineering.quantities import Dimension, QuantityError, parse_quantity
from shop.instrument_data import MEASURES, measures
from shop.models import InstrumentKind, ShopSettings

MEASURED = frozenset().union(*MEASURES.values())
# What the two torque kinds must be limited in.
ASKED = {
    (CheckpointKind.TORQUE, "limit"): Dimension.TORQUE,
    (CheckpointKind.TORQUE_ANGLE, "limit"): Dimension.TORQUE,
    (CheckpointKind.TORQUE_ANGLE, "angle"): Dimension.ANGLE,
}


def check_limits(data: ProcedureData, settings: ShopSettings, faults: Faults) -> list[Remark]:
    """Check every limit; returns which of them take the shop's default tolerance."""
    check = _Check(settings, faults)
    by_code = {checkpoint.code: checkpoint for _operation, checkpoint in data.checkpoints()}
    for _operation, checkpoint in data.checkpoints():
        check.checkpoint(checkpoint, by_code.get(checkpoint.witness_of))
    return check.remarks


def _told(fault: QuantityError) -> str:
    """What cannot be understood, and what it could have meant."""
    message = fault.message.translated(_)
    if not fault.meant:
        return message
    return _("%(message)s; did you mean %(meant)s?") % {
        "message": message,
        "meant": _(" or ").join(fault.meant),
    }


class _Check:
    def __init__(self, settings: ShopSettings, faults: Faults) -> None:
        self.settings, self.faults = settings, faults
        self.remarks: list[Remark] = []

    def checkpoint(self, checkpoint: CheckpointData, witnessed: CheckpointData | None) -> None:
        dimension = self._limit(checkpoint, "limit") or self._records(checkpoint)
        self._instrument(checkpoint, "instrument", checkpoint.instrument, dimension)
        self._span(checkpoint, "equal", dimension)
        angle = self._limit(checkpoint, "angle")
        self._instrument(checkpoint, "angle_instrument", checkpoint.angle_instrument, angle)
        if checkpoint.agree and witnessed is not None:
            self._span(checkpoint, "agree", self._dimension_quietly(witnessed))

    def _fault(self, checkpoint: CheckpointData, key: str, message: str) -> None:
        self.faults.add(checkpoint.line_of(key), f"{checkpoint.code} {key}", message)

    def _parsed(self, checkpoint: CheckpointData, key: str) -> Limits | None:
        try:
            return parsed(str(getattr(checkpoint, key)), self.settings)
        except QuantityError as fault:
            self._fault(checkpoint, key, _told(fault))
            return None

    def _limit(self, checkpoint: CheckpointData, key: str) -> Dimension | None:
        limits = self._parsed(checkpoint, key)
        if limits is None:
            return None
        dimension = limits.dimension
        asked = ASKED.get((CheckpointKind(checkpoint.kind), key), dimension)
        if dimension != asked:
            message = _("“%(text)s” is no %(asked)s")
            self._fault(checkpoint, key, message % {"text": limits.text, "asked": asked.value})
            return None
        if limits.default_applied:
            message = _("“%(text)s” gives no tolerance: %(limits)s")
            self._remark(checkpoint, key, message % {"text": limits.text, "limits": limits.describe()})
        return dimension

    def _remark(self, checkpoint: CheckpointData, key: str, message: str) -> None:
        self.remarks.append(Remark(checkpoint.line_of(key), f"{checkpoint.code} {key}", message))

    def _records(self, checkpoint: CheckpointData) -> Dimension | None:
        """The dimension of a unit in which something is recorded without a limit."""
        if not checkpoint.records:
            return None
        try:
            return parse_quantity("1", default_unit=checkpoint.records).dimension
        except QuantityError:
            message = _("“%(unit)s” is no unit; write one such as in, mm, °, lbf·ft")
            self._fault(checkpoint, "records", message % {"unit": checkpoint.records})
            return None

    def _dimension_quietly(self, checkpoint: CheckpointData) -> Dimension | None:
        """The dimension of a checkpoint whose own faults are told at itself."""
        kept = _Check(self.settings, Faults())
        return kept._limit(checkpoint, "limit") or kept._records(checkpoint)

    def _span(self, checkpoint: CheckpointData, key: str, dimension: Dimension | None) -> None:
        """A limit of a difference: one-sided, `≤ 1/16 in`."""
        limits = self._parsed(checkpoint, key)
        if limits is None:
            return
        if limits.high is None or limits.low is not None or limits.default_applied:
            message = _("“%(text)s” limits a difference; write the most it may be, such as ≤ 1/16 in")
            self._fault(checkpoint, key, message % {"text": limits.text})
        elif dimension is not None and limits.dimension != dimension:
            message = _("“%(text)s” is no %(asked)s, as what it compares is")
            self._fault(checkpoint, key, message % {"text": limits.text, "asked": dimension.value})

    def _instrument(
        self, checkpoint: CheckpointData, key: str, kind: str, dimension: Dimension | None
    ) -> None:
        if dimension is None:
            return
        if not kind:
            if dimension in MEASURED and key not in checkpoint.lines:
                self._fault(checkpoint, key, _("is missing; say what it is measured with"))
        elif dimension not in measures(kind):
            message = _("a %(kind)s does not measure a %(dimension)s")
            words = {"kind": InstrumentKind(kind).label, "dimension": dimension.value}
            self._fault(checkpoint, key, message % words)

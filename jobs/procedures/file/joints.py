"""How a joint is tightened, as a file says it: castle nut, prevailing torque, pattern, dry figure."""

from collections.abc import Iterator
from fractions import Fraction

from django.utils.translation import gettext as _

from jobs.judging.limits import parsed
from jobs.judging.questions import said
from jobs.procedures.file.data import CheckpointData, ProcedureData
from jobs.procedures.file.fields import Fields
from jobs.procedures.file.remarks import Remark
from shop.engineering.errors import QuantityError
from shop.engineering.joints.derates import lowered_twice
from shop.engineering.quantities.measures import Dimension, Quantity
from shop.engineering.quantities.reader import parse_quantity
from shop.models import ShopSettings

LONGEST = 30
MEASURED = "measured"
TURN = frozenset({Dimension.ANGLE, Dimension.TORQUE})
TORQUE = frozenset({Dimension.TORQUE})


def check_joint(fields: Fields) -> None:
    """Add to the faults what is wrong with how a joint is to be tightened."""
    _check(fields, "castle_nut", TURN, _("is how far it may be turned on: an angle such as 60°, or a torque"))
    _check(fields, "lowered_from", TORQUE, _("is the dry figure, a torque such as 65 lbf·ft"))
    if fields.has("lowered_from") and not fields.has("lubricant"):
        fields.fault("lowered_from", _("says nothing without “%(missing)s”") % {"missing": "lubricant"})
    if fields.text("prevailing", longest=LONGEST) != MEASURED:
        _check(fields, "prevailing", TORQUE, _("is “measured”, or a torque such as 8 lbf·ft"))
    if fields.has("passes") and not fields.has("pattern"):
        fields.fault("passes", _("says nothing without “%(missing)s”") % {"missing": "pattern"})
    for text in fields.texts("passes", longest=LONGEST):
        _check_one(fields, "passes", text, TORQUE, _("are torques such as 20 lbf·ft"))


def _check(fields: Fields, key: str, kinds: frozenset[Dimension], message: str) -> None:
    text = fields.text(key, longest=LONGEST)
    if text:
        _check_one(fields, key, text, kinds, message)


def _check_one(fields: Fields, key: str, text: str, kinds: frozenset[Dimension], message: str) -> None:
    try:
        found = parse_quantity(text)
    except QuantityError as error:
        fields.fault(key, said(error))
        return
    if found.dimension not in kinds or found.value <= 0:
        fields.fault(key, message)


def joint_remarks(data: ProcedureData, settings: ShopSettings) -> Iterator[Remark]:
    """Figures that look as if a derate and a lubricant factor had both been applied; passes out of order."""
    for _operation, checkpoint in data.checkpoints():
        try:
            limits = parsed(checkpoint.limit, settings)
        except QuantityError:
            continue
        figure = limits.nominal if limits else None
        if figure is None:
            continue
        if checkpoint.lowered_from:
            yield from _lowered(checkpoint, figure)
        if checkpoint.passes:
            yield from _passes(checkpoint, figure)


def _lowered(checkpoint: CheckpointData, figure: Quantity) -> Iterator[Remark]:
    dry = _torque(checkpoint.lowered_from)
    warning = lowered_twice(figure.to("N·m").value, dry, checkpoint.lubricant) if dry is not None else None
    if warning is not None:
        where = checkpoint.line_of("lowered_from")
        yield Remark(where, f"{checkpoint.code} lowered_from", warning.translated(_))


def _passes(checkpoint: CheckpointData, figure: Quantity) -> Iterator[Remark]:
    found = [torque for torque in map(_torque, checkpoint.passes) if torque is not None]
    if found != sorted(found) or (found and found[-1] != figure.to("N·m").value):
        message = _("the passes rise, and the last is the figure itself")
        yield Remark(checkpoint.line_of("passes"), f"{checkpoint.code} passes", message)


def _torque(text: str) -> Fraction | None:
    """In N·m; what is wrong with it is told at the checkpoint."""
    try:
        return parse_quantity(text).to("N·m").value
    except QuantityError:
        return None

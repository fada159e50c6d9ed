"""Fasteners tightened together: in which passes, and in which order round."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from jobs.judging.limits import parsed
from jobs.models import Checkpoint
from shop.engineering.joints.wrenches import staged_passes, tightening_order
from shop.engineering.limits import Limits
from shop.engineering.quantities.measures import Quantity
from shop.engineering.quantities.writer import rounded
from shop.models import ShopSettings


@dataclass(frozen=True)
class Pattern:
    """The passes as torques in words, the order as numbers round, and where both come from."""

    passes: tuple[str, ...]
    order: tuple[int, ...]
    source: str

    @property
    def order_words(self) -> str:
        return " · ".join(str(number) for number in self.order)


def pattern_at(checkpoint: Checkpoint, settings: ShopSettings) -> Pattern | None:
    """The passes of a checkpoint with its limits; None where it is no pattern."""
    limits = parsed(checkpoint.limit, settings)
    return _pattern(checkpoint, limits) if limits is not None else None


def pattern_of(checkpoint: Checkpoint, limits: Limits) -> Mapping[str, Any]:
    """What of the pattern is kept with the decision; empty where there is none."""
    found = _pattern(checkpoint, limits)
    if found is None:
        return {}
    return {"pattern": {"passes": list(found.passes), "order": list(found.order), "source": found.source}}


def _pattern(checkpoint: Checkpoint, limits: Limits) -> Pattern | None:
    figure = limits.nominal or limits.largest
    if not checkpoint.pattern or figure.value <= 0:
        return None
    order = tightening_order(checkpoint.pattern)
    if checkpoint.passes:
        return Pattern(tuple(checkpoint.passes), order, _("passes: the procedure; order: common practice"))
    passes = tuple(rounded(Quantity(value, figure.unit)) for value in staged_passes(figure.value))
    return Pattern(passes, order, _("passes and order: common practice, no source"))

"""The limits of a checkpoint, read from what its procedure says and the shop's own defaults."""

from dataclasses import dataclass
from functools import lru_cache

from django.utils.translation import gettext as _

from jobs.models import Checkpoint
from shop.engineering.limits import Limits, parse_limits
from shop.engineering.limits.shown import ReadAs, limits_in, limits_read_as
from shop.engineering.quantities.measures import Dimension
from shop.engineering.quantities.writer import System
from shop.models import Fractions, Person, ShopSettings, Units

METRIC_UNITS = frozenset({"mm", "cm", "m", "N·m", "kgf·m", "MPa", "N/mm", "N", "g", "kg"})
AS_WRITTEN = ReadAs()
SAME_EVERYWHERE = frozenset({Dimension.ANGLE, Dimension.TIME, Dimension.RATIO})


@dataclass(frozen=True)
class LimitWords:
    """A limit as it is shown: as the instruction writes it, in the other system, and what is to be noted."""

    text: str
    also: str
    note: str


@lru_cache(maxsize=4096)
def _parsed(text: str, length: str, torque: str, angle: str) -> Limits:
    defaults = {Dimension.LENGTH: length, Dimension.TORQUE: torque, Dimension.ANGLE: angle}
    return parse_limits(text, default_tolerance=defaults)


def parsed(text: str, settings: ShopSettings) -> Limits | None:
    """A limit as written, with the shop's default where it gives no tolerance; None where there is none."""
    if not text:
        return None
    return _parsed(text, settings.length_tolerance, settings.torque_tolerance, settings.angle_tolerance)


def limits_of(checkpoint: Checkpoint, settings: ShopSettings) -> Limits | None:
    return parsed(checkpoint.limit, settings)


def limit_words(limits: Limits, reader: ReadAs = AS_WRITTEN) -> LimitWords:
    """The words for a limit, on screens and papers: in the reader's units large, as it is written beside."""
    note = str(limits.describe()) if limits.default_applied else ""
    shown = limits_read_as(limits, reader)
    if shown != limits.text:
        return LimitWords(shown, _("written %(limit)s") % {"limit": limits.text}, note)
    other: System = "inch" if limits.unit in METRIC_UNITS else "metric"
    also = "" if limits.dimension in SAME_EVERYWHERE else str(limits_in(limits, other))
    return LimitWords(limits.text, also, note)


def reader_of(person: Person | None) -> ReadAs:
    """How a person reads figures; as they are written where they have not chosen."""
    if person is None or not (person.units or person.fractions):
        return AS_WRITTEN
    systems: dict[str, System] = {Units.INCH: "inch", Units.METRIC: "metric"}
    return ReadAs(systems.get(person.units), person.fractions == Fractions.DECIMAL)

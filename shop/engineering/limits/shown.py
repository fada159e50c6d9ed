"""A limit in the reader's own units: rounded inward, so that what fits what is shown fits what is asked."""

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from shop.engineering.limits import Limits
from shop.engineering.limits.zone import between
from shop.engineering.quantities.figures import decimal_text, mixed_text
from shop.engineering.quantities.measures import Dimension, Quantity
from shop.engineering.quantities.writer import (
    INCH_UNITS,
    System,
    format_quantity,
    natural,
    rounded,
    system_unit,
)
from shop.engineering.words import Words

# The finest step that is shown of a unit; else a tenth.
_STEPS: Final = {"in": Fraction(1, 1000), "psi": Fraction(1), "kPa": Fraction(1), "kg": Fraction(1, 100)}
_STEP_IN: Final = Fraction(1, 64)


@dataclass(frozen=True)
class ReadAs:
    """How a person reads figures.

    Attributes:
        system: "inch" or "metric"; None as the instruction writes it.
        decimal: inches in decimals rather than in fractions.
    """

    system: System | None = None
    decimal: bool = False

    def unit_for(self, unit: str) -> str:
        """The unit that a quantity given in `unit` is read in."""
        dimension = Quantity(Fraction(0), unit).dimension
        asked = system_unit(dimension, self.system) if self.system else ""
        if not asked or ((asked == "in") == (unit in {"in", "ft", "thou"}) and dimension is Dimension.LENGTH):
            return unit
        return asked


def limits_read_as(limits: Limits, reader: ReadAs) -> str:
    """Limits as a reader of other units sees them.

    Args:
        limits: what is asked.
        reader: how they read figures.
    Returns: the text as written where that is the reader's own way; else `749.3 ±1.5 mm`, `≤ 3.1 mm`,
        `355.6…406.4 mm`, each limit rounded inward to a tenth of a millimetre, 1/64 or 0.001 in.

    Valid for every limit; a width below the step is shown to a finer one.
    Source: SP811 App. B (exact factors); HOUSE (rounded inward)
    """
    unit = reader.unit_for(limits.unit)
    if unit == limits.unit and not (unit == "in" and reader.decimal):
        return limits.text
    low, high, nominal = (
        None if q is None else q.to(unit).value for q in (limits.low, limits.high, limits.nominal)
    )
    step = _step(unit, reader, low, high)
    if nominal is not None and low is not None and high is not None:
        return _around(nominal, low, high, step, unit)
    down = None if low is None else math.ceil(low / step) * step
    up = None if high is None else math.floor(high / step) * step
    if down is None or up is None:
        sign, value = ("≤", up) if up is not None else ("≥", down)
        return f"{sign} {_number(value or Fraction(0), step)} {unit}"
    return f"{_number(down, step)}…{_number(up, step)} {unit}"


def limits_in(limits: Limits, system: System) -> Words:
    """Limits in words in the system that they are not written in, each rounded inward.

    Args:
        limits: what is asked.
        system: "inch" or "metric", the other one.
    Returns: "747.8 mm to 750.8 mm", "at most 3.1 mm", "at least 44.3 lbf·ft".

    Valid for every limit of which the system has a unit; a width below the step is shown to a finer one.
    Source: SP811 App. B (exact factors); HOUSE (rounded inward)
    """
    unit = system_unit(limits.dimension, system)
    low, high = (None if q is None else q.to(unit).value for q in (limits.low, limits.high))
    step = _step(unit, ReadAs(system), low, high)
    least = None if low is None else f"{_number(math.ceil(low / step) * step, step)} {unit}"
    most = None if high is None else f"{_number(math.floor(high / step) * step, step)} {unit}"
    return between(least, most)


def quantity_read_as(q: Quantity, reader: ReadAs) -> str:
    """A reading as a reader of other units sees it.

    Args:
        q: what was read.
        reader: how they read figures.
    Returns: `749.3 mm`, `29 1/2 in`, `29.500 in`; in its own unit as one would write it.

    Valid for every quantity: to a tenth of a millimetre or of a newton metre, 1/64 in from 1 in on, 0.001 in.
    Source: SP811 App. B (exact factors); HOUSE (to the nearest step, an exact half away from zero)
    """
    unit = reader.unit_for(q.unit)
    if unit == "in" and reader.decimal:
        return rounded(q, unit)
    if unit == q.unit:
        return natural(q)
    inches = q.to(unit).value if unit == "in" else Fraction(0)
    if abs(inches) >= 1 or (inches and 64 % inches.denominator == 0):
        return format_quantity(q, fraction=64)
    return rounded(q, unit)


def other_reader(unit: str) -> ReadAs:
    """Whoever reads in the system that a unit does not belong to.

    Args:
        unit: a name in `UNITS`.
    Returns: a reader of the other system.

    Valid for every unit. Source: HOUSE (both systems are shown)
    """
    inch = system_unit(Quantity(Fraction(0), unit).dimension, "inch")
    return ReadAs("metric" if unit == inch or unit in INCH_UNITS else "inch")


def _step(unit: str, reader: ReadAs, low: Fraction | None, high: Fraction | None) -> Fraction:
    """The finest step shown, finer where the limits lie closer than ten of them."""
    step = _STEP_IN if unit == "in" and not reader.decimal else _STEPS.get(unit, Fraction(1, 10))
    if low is not None and high is not None and high - low < 4 * step:
        return min(step, Fraction(1, 1000)) / 10 if unit == "in" else step / 10
    return step


def _around(nominal: Fraction, low: Fraction, high: Fraction, step: Fraction, unit: str) -> str:
    """A nominal with what is left to either side of it, seen from where it is shown."""
    middle = round(nominal / step) * step
    up, down = (math.floor(way / step) * step for way in (high - middle, middle - low))
    if min(up, down) < 0:
        return f"{_number(math.ceil(low / step) * step, step)}…{_number(high // step * step, step)} {unit}"
    if up == down:
        return f"{_number(middle, step)} ±{_number(up, step)} {unit}"
    return f"{_number(middle, step)} +{_number(up, step)} −{_number(down, step)} {unit}"


def _number(value: Fraction, step: Fraction) -> str:
    if step == _STEP_IN:
        return f"{'−' if value < 0 else ''}{mixed_text(abs(value))}"
    places = len(str(step.denominator)) - 1
    return decimal_text(value, places)

"""Quantities with exact values: dimensions, units and their definitions.

The units' factors are exact by definition. Each dimension has a canonical quantum, small enough that a
fraction of an inch is a whole number of it, so that decisions compare integers.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from shop.engineering.errors import QuantityError
from shop.engineering.words import Words
from shop.engineering.words import say as _


class Dimension(StrEnum):
    """What kind of thing a quantity is."""

    LENGTH = "length"
    TORQUE = "torque"
    ANGLE = "angle"
    MASS = "mass"
    PRESSURE = "pressure"
    RATE = "rate"
    FORCE = "force"
    TIME = "time"
    SPEED = "speed"
    RATIO = "ratio"

    @property
    def label(self) -> Words:
        """The dimension in words."""
        return _LABELS[self]


_LABELS: dict[Dimension, Words] = {
    Dimension.LENGTH: _("length"),
    Dimension.TORQUE: _("torque"),
    Dimension.ANGLE: _("angle"),
    Dimension.MASS: _("mass"),
    Dimension.PRESSURE: _("pressure"),
    Dimension.RATE: _("spring rate"),
    Dimension.FORCE: _("force"),
    Dimension.TIME: _("time"),
    Dimension.SPEED: _("speed"),
    Dimension.RATIO: _("percentage"),
}

CANONICAL: dict[Dimension, str] = {
    Dimension.LENGTH: "picometre",
    Dimension.TORQUE: "micronewton metre",
    Dimension.ANGLE: "milliarcsecond",
    Dimension.MASS: "milligram",
    Dimension.PRESSURE: "millipascal",
    Dimension.RATE: "millinewton per metre",
    Dimension.FORCE: "micronewton",
    Dimension.TIME: "millisecond",
    Dimension.SPEED: "micrometre per minute",
    Dimension.RATIO: "millionth",
}

INCH_MM = Fraction(254, 10)
POUND_KG = Fraction(45359237, 10**8)
STANDARD_GRAVITY = Fraction(980665, 10**5)
POUND_FORCE_N = POUND_KG * STANDARD_GRAVITY
FOOT_M = INCH_MM * 12 / 1000
INCH_M = INCH_MM / 1000
PSI_PA = POUND_FORCE_N / INCH_M**2

D = Dimension
# unit: dimension and how many canonical quanta it has. Source: SP811 App. B; SI8 ch. 4 (degree, minute, hour)
UNITS: dict[str, tuple[Dimension, Fraction]] = {
    "in": (D.LENGTH, INCH_MM * 10**9),
    "ft": (D.LENGTH, INCH_MM * 12 * 10**9),
    "thou": (D.LENGTH, INCH_MM * 10**6),
    "mm": (D.LENGTH, Fraction(10**9)),
    "cm": (D.LENGTH, Fraction(10**10)),
    "m": (D.LENGTH, Fraction(10**12)),
    "µm": (D.LENGTH, Fraction(10**6)),
    "lbf·ft": (D.TORQUE, POUND_FORCE_N * FOOT_M * 10**6),
    "lbf·in": (D.TORQUE, POUND_FORCE_N * INCH_M * 10**6),
    "N·m": (D.TORQUE, Fraction(10**6)),
    "kgf·m": (D.TORQUE, STANDARD_GRAVITY * 10**6),
    "°": (D.ANGLE, Fraction(3_600_000)),
    "lb": (D.MASS, POUND_KG * 10**6),
    "oz": (D.MASS, POUND_KG * 10**6 / 16),
    "kg": (D.MASS, Fraction(10**6)),
    "g": (D.MASS, Fraction(10**3)),
    "mg": (D.MASS, Fraction(1)),
    "psi": (D.PRESSURE, PSI_PA * 1000),
    "ksi": (D.PRESSURE, PSI_PA * 10**6),
    "Pa": (D.PRESSURE, Fraction(10**3)),
    "kPa": (D.PRESSURE, Fraction(10**6)),
    "MPa": (D.PRESSURE, Fraction(10**9)),
    "bar": (D.PRESSURE, Fraction(10**8)),
    "lbf/in": (D.RATE, POUND_FORCE_N / INCH_M * 1000),
    "N/mm": (D.RATE, Fraction(10**6)),
    "N/m": (D.RATE, Fraction(10**3)),
    "kgf/mm": (D.RATE, STANDARD_GRAVITY * 10**6),
    "lbf": (D.FORCE, POUND_FORCE_N * 10**6),
    "N": (D.FORCE, Fraction(10**6)),
    "kN": (D.FORCE, Fraction(10**9)),
    "kgf": (D.FORCE, STANDARD_GRAVITY * 10**6),
    "s": (D.TIME, Fraction(1000)),
    "min": (D.TIME, Fraction(60_000)),
    "h": (D.TIME, Fraction(3_600_000)),
    "ft/min": (D.SPEED, FOOT_M * 10**6),
    "in/min": (D.SPEED, INCH_M * 10**6),
    "m/min": (D.SPEED, Fraction(10**6)),
    "mm/min": (D.SPEED, Fraction(10**3)),
    "%": (D.RATIO, Fraction(10**4)),
}


@dataclass(frozen=True)
class Quantity:
    """An exact value in a unit of `UNITS`."""

    value: Fraction
    unit: str

    def __post_init__(self) -> None:
        if self.unit not in UNITS:
            raise QuantityError(_("“%(unit)s” is not a unit that is known here", unit=self.unit))

    @property
    def dimension(self) -> Dimension:
        return UNITS[self.unit][0]

    @property
    def quanta(self) -> Fraction:
        """The exact value in canonical quanta."""
        return self.value * UNITS[self.unit][1]

    @property
    def canonical(self) -> int:
        """The value as a whole number of canonical quanta, an exact half to the even one."""
        return round(self.quanta)

    def to(self, unit: str) -> "Quantity":
        """The same quantity in another unit of its dimension.

        Args:
            unit: a name in `UNITS`.
        Returns: the exact quantity.
        Raises:
            QuantityError: for an unknown unit or one of another dimension.

        Valid for every value. Source: SP811 App. B (exact factors)
        """
        other = Quantity(Fraction(0), unit)
        if other.dimension != self.dimension:
            raise QuantityError(
                _(
                    "%(given)s is a unit of %(dimension)s; here a %(other)s is asked, in %(unit)s",
                    given=self.unit,
                    dimension=self.dimension.label,
                    other=other.dimension.label,
                    unit=unit,
                )
            )
        return self if unit == self.unit else from_quanta(self.quanta, unit)


def from_quanta(quanta: Fraction | int, unit: str) -> Quantity:
    """A quantity from canonical quanta.

    Args:
        quanta: the value in the canonical quantum of the unit's dimension.
        unit: a name in `UNITS`.
    Returns: the exact quantity in `unit`.
    Raises:
        QuantityError: for an unknown unit.

    Valid for every value. Source: SP811 App. B (exact factors)
    """
    zero = Quantity(Fraction(0), unit)
    return Quantity(Fraction(quanta) / UNITS[zero.unit][1], unit)

"""How far a reading may be from the truth: the instrument's figures as variances, combined exactly."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from shop.engineering.errors import QuantityError
from shop.engineering.limits.reader import read_share
from shop.engineering.quantities.measures import Dimension, Quantity
from shop.engineering.quantities.reader import parse_quantity
from shop.engineering.words import say as _


@dataclass(frozen=True)
class InstrumentData:
    """What a decision must know of an instrument.

    Where both a permissible error and a fraction of the reading are stated, they add up, as in
    ±(0.5 N·m + 2 % of the reading).
    """

    code: str
    kind: str
    dimension: Dimension
    resolution: Quantity
    permissible_error: Quantity | None = None
    permissible_fraction: Fraction | None = None
    calibration_u: Quantity | None = None
    range_low: Quantity | None = None
    range_high: Quantity | None = None

    def covers(self, q: Quantity) -> bool:
        """Whether a value lies within the instrument's range."""
        return (self.range_low is None or q.quanta >= self.range_low.quanta) and (
            self.range_high is None or q.quanta <= self.range_high.quanta
        )

    def permissible(self, at: Fraction) -> Fraction:
        """The largest permissible error in canonical quanta at a value in canonical quanta."""
        fixed = Fraction(0) if self.permissible_error is None else abs(self.permissible_error.quanta)
        return fixed + abs(at) * (self.permissible_fraction or 0)

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data, values as exact rationals with their unit."""
        fraction = self.permissible_fraction
        return {
            "code": self.code,
            "kind": self.kind,
            "dimension": self.dimension.value,
            "permissible_fraction": None if fraction is None else str(fraction),
            **{name: quantity_json(getattr(self, name)) for name in _QUANTITIES},
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "InstrumentData":
        """The instrument that `as_json` wrote."""
        fraction = data["permissible_fraction"]
        resolution = quantity_from_json(data["resolution"])
        assert resolution is not None
        return cls(
            str(data["code"]),
            str(data["kind"]),
            Dimension(data["dimension"]),
            resolution,
            permissible_fraction=None if fraction is None else Fraction(fraction),
            **{name: quantity_from_json(data[name]) for name in _QUANTITIES[1:]},
        )


_QUANTITIES = ("resolution", "permissible_error", "calibration_u", "range_low", "range_high")


def quantity_json(q: Quantity | None) -> dict[str, Any] | None:
    """A quantity as plain data: the exact rational, its unit, the canonical integer.

    Args:
        q: a quantity or None.
    Returns: the data, None for None.

    Valid for every quantity. Source: HOUSE (what was entered is kept exactly)
    """
    return None if q is None else {"exact": str(q.value), "unit": q.unit, "canonical": q.canonical}


def quantity_from_json(data: Mapping[str, Any] | None) -> Quantity | None:
    """The quantity that `quantity_json` wrote.

    Args:
        data: the data or None.
    Returns: the quantity, None for None.
    Raises:
        QuantityError: for an unknown unit.

    Valid for what `quantity_json` wrote. Source: HOUSE (what was entered is kept exactly)
    """
    return None if data is None else Quantity(Fraction(data["exact"]), str(data["unit"]))


def parse_permissible(
    text: str, *, default_unit: str | None = None
) -> tuple[Quantity | None, Fraction | None]:
    """Read a permissible error as a certificate states it.

    Args:
        text: 1/32 in · ±1/32 in · 4 % · ±4 % of reading.
        default_unit: the unit of a bare number.
    Returns: the error as a quantity, or as a fraction of the reading; the other is None.
    Raises:
        QuantityError: for anything else, a negative error too.

    Valid for any string. Source: ISO6789 (permissible deviation in per cent of the reading)
    """
    plain = text.replace("+/-", "±").strip().removeprefix("±").removesuffix("of reading").strip()
    share = read_share(plain)
    if share is not None:
        return None, share
    error = parse_quantity(plain, default_unit=default_unit)
    if error.value < 0:
        raise QuantityError(_("A permissible error is not negative: “%(text)s”", text=text.strip()))
    return error, None


def rectangular_variance(half_width: Fraction) -> Fraction:
    """The variance of a value that may lie anywhere within ± a half width.

    Args:
        half_width: the half width a in any unit.
    Returns: a²/3 in that unit squared.

    Valid for every half width. Source: GUM 4.3.7
    """
    return half_width**2 / 3


def resolution_variance(resolution: Fraction) -> Fraction:
    """The variance that reading to a resolution brings in.

    Args:
        resolution: the smallest step d that can be told, in any unit.
    Returns: d²/12 in that unit squared.

    Valid for every resolution. Source: GUM F.2.2.1
    """
    return resolution**2 / 12


def calibration_variance(expanded: Fraction, k: int = 2) -> Fraction:
    """The variance behind an expanded uncertainty.

    Args:
        expanded: the expanded uncertainty U as the certificate states it, in any unit.
        k: its coverage factor.
    Returns: (U/k)² in that unit squared.

    Valid for every U and k from 1. Source: GUM 4.3.3
    """
    return (expanded / k) ** 2


def combined(variances: Iterable[Fraction]) -> float:
    """The standard uncertainty of independent contributions.

    Args:
        variances: in one unit squared.
    Returns: the root of their sum, in that unit.

    Valid for independent contributions. Source: GUM 5.1.2
    """
    return math.sqrt(sum(variances, Fraction(0)))


def reading_variance(instrument: InstrumentData, at: Fraction) -> Fraction:
    """The variance of one reading of an instrument.

    Args:
        instrument: its figures.
        at: the value at which a permissible fraction is taken, canonical quanta.
    Returns: (MPE/√3)² + (d/(2√3))² + (U/2)², exact, canonical quanta squared.

    Valid for an instrument within its calibration. For a click wrench the reading is its setting, and
    its permissible fraction is taken of that. Source: GUM 5.1.2; ISO6789
    """
    calibration = Fraction(0) if instrument.calibration_u is None else instrument.calibration_u.quanta
    return (
        rectangular_variance(instrument.permissible(at))
        + resolution_variance(instrument.resolution.quanta)
        + calibration_variance(calibration)
    )


def expanded_canonical(variance: Fraction) -> int:
    """The expanded uncertainty U = 2u as a whole number, rounded up.

    Args:
        variance: u², canonical quanta squared, from 0.
    Returns: the smallest whole number of quanta that is not below 2u.

    Valid for every variance. Source: GUM 6.2 (k = 2); HOUSE (rounded up)
    """
    four = 4 * variance
    root = math.isqrt(four.numerator // four.denominator)
    return root if root * root >= four else root + 1

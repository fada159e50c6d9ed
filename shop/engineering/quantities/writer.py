"""Writing quantities as the shop reads them: fractions of an inch, decimals, degrees and minutes."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from shop.engineering.errors import QuantityError
from shop.engineering.quantities.figures import decimal_text, mixed_text, round_half_away
from shop.engineering.quantities.measures import Dimension, Quantity
from shop.engineering.words import say as _

System = Literal["inch", "metric"]

FINEST_FRACTION = 64
_MOST_PLACES = 9
_SHORT_PLACES = 4

# The unit of each system beside which the other is shown, and how many decimals are worth showing.
_SYSTEM_UNITS: dict[Dimension, tuple[str, str]] = {
    Dimension.LENGTH: ("in", "mm"),
    Dimension.TORQUE: ("lbf·ft", "N·m"),
    Dimension.MASS: ("lb", "kg"),
    Dimension.PRESSURE: ("psi", "kPa"),
    Dimension.RATE: ("lbf/in", "N/mm"),
    Dimension.FORCE: ("lbf", "N"),
    Dimension.SPEED: ("ft/min", "m/min"),
}
INCH_UNITS = frozenset(
    ("in", "ft", "thou", "lbf·ft", "lbf·in", "lb", "oz", "psi", "ksi", "lbf/in", "lbf", "ft/min", "in/min")
)
_PLACES = {"in": 3, "thou": 0, "kg": 2, "lb": 2, "kPa": 0, "N": 0, "lbf/in": 0, "g": 0, "°": 2}


@dataclass(frozen=True)
class FractionParts:
    """A value as sign, whole and fraction, so that a template can set a real fraction."""

    sign: str
    whole: int
    numerator: int
    denominator: int
    unit: str

    def __str__(self) -> str:
        value = self.whole + Fraction(self.numerator, self.denominator)
        return f"{self.sign}{mixed_text(value)} {self.unit}"


def fraction_parts(q: Quantity, denominator: int) -> FractionParts:
    """A quantity to the nearest fraction, in parts, the fraction reduced.

    Args:
        q: a quantity; its own unit is kept.
        denominator: 16, 32, 64 or another whole number from 1.
    Returns: sign ("−" or ""), whole, numerator (0 for none), denominator, unit.
    Raises:
        QuantityError: for a denominator below 1.

    Valid for every quantity. An exact half goes away from zero; what rounds to 0 has no sign.
    Source: HOUSE (shop practice: 3/32 to the nearest 1/16 is 1/8)
    """
    if denominator < 1:
        raise QuantityError(_("A fraction has a denominator of 1 or more"))
    nearest = Fraction(round_half_away(q.value * denominator), denominator)
    whole, part = divmod(abs(nearest), 1)
    return FractionParts("−" if nearest < 0 else "", whole, part.numerator, part.denominator, q.unit)


def format_quantity(
    q: Quantity, *, unit: str | None = None, fraction: int | None = None, places: int | None = None
) -> str:
    """A quantity as text with its unit.

    Args:
        q: a quantity.
        unit: the unit to show; its own when None, inches when only `fraction` is given.
        fraction: to the nearest 1/16, 1/32, 1/64: 29 1/2 in.
        places: so many decimals; None writes all of them, or 4 where they do not end within 9.
    Returns: the text, a true minus before a negative value, ° without a blank.
    Raises:
        QuantityError: for a unit of another dimension.

    Valid for every quantity; what the parser reads of it is the value shown.
    Source: HOUSE (an exact half goes away from zero)
    """
    if fraction is not None:
        return str(fraction_parts(q.to(unit or "in"), fraction))
    shown = q.to(unit or q.unit)
    number = decimal_text(shown.value, _needed_places(shown.value) if places is None else places)
    return f"{number}{'' if shown.unit == '°' else ' '}{shown.unit}"


def format_minutes(q: Quantity, *, places: int = 1, signed: bool = False) -> str:
    """An angle as degrees and minutes: −0° 45.0′.

    Args:
        q: an angle.
        places: decimals of the minutes.
        signed: write a + before what is above zero.
    Returns: the text; the sign is kept when the degrees are 0.
    Raises:
        QuantityError: for anything but an angle.

    Valid for every angle; minutes that round to 60 carry into the degrees.
    Source: SI8 ch. 4 (60 minutes to the degree)
    """
    scale = 60 * 10**places
    steps = round_half_away(q.to("°").value * scale)
    degrees, rest = divmod(abs(steps), scale)
    sign = "−" if steps < 0 else "+" if signed and steps else ""
    return f"{sign}{degrees}° {decimal_text(Fraction(rest, 10**places), places)}′"


def format_feet(q: Quantity, fraction: int = 16) -> str:
    """A length as feet, inches and the nearest fraction: 5' 3 1/2".

    Args:
        q: a length.
        fraction: 16, 32, 64 or another whole number from 1.
    Returns: the text; what rounds to 12 in carries to the next foot; below a foot without feet.
    Raises:
        QuantityError: for anything but a length, or a denominator below 1.

    Valid for every length. Source: HOUSE (an exact half goes away from zero)
    """
    parts = fraction_parts(q.to("in"), fraction)
    feet, whole = divmod(parts.whole, 12)
    inches = f'{mixed_text(whole + Fraction(parts.numerator, parts.denominator))}"'
    return f"{parts.sign}{feet}' {inches}" if feet else f"{parts.sign}{inches}"


def natural(q: Quantity) -> str:
    """A quantity in its own unit as one would write it: a fraction where it is one of an inch.

    Args:
        q: a quantity.
    Returns: 29 1/2 in where inches fall on a 1/64, else decimals.

    Valid for every quantity. Source: HOUSE (rules and tapes go down to 1/64)
    """
    if q.unit == "in" and FINEST_FRACTION % q.value.denominator == 0:
        return format_quantity(q, fraction=FINEST_FRACTION)
    return format_quantity(q)


def rounded(q: Quantity, unit: str | None = None) -> str:
    """A computed quantity with the decimals that are worth showing in a unit.

    Args:
        q: a quantity.
        unit: the unit to show; its own when None.
    Returns: the text.
    Raises:
        QuantityError: for a unit of another dimension.

    Valid for every quantity; below one unit two decimals more are shown at most.
    Source: HOUSE (a tenth of a millimetre, a thousandth of an inch, a tenth of a foot-pound)
    """
    shown = q.to(unit or q.unit)
    places = _PLACES.get(shown.unit, 1)
    if abs(shown.value) < 1 and shown.unit not in {"in", "°"}:
        places += 1
    return format_quantity(shown, places=places)


def brief(q: Quantity) -> str:
    """A difference or a sum: as one would write it where that is short, else rounded.

    Args:
        q: a quantity.
    Returns: 1/16 in, 1.5 mm; 0.039 in for what falls on no fraction.

    Valid for every quantity. Source: HOUSE (no digits that nobody can read)
    """
    on_rule = q.unit == "in" and FINEST_FRACTION % q.value.denominator == 0
    return natural(q) if on_rule or 100 % q.value.denominator == 0 else rounded(q)


def both(q: Quantity, *, system: System = "inch", fraction: int = 32) -> tuple[str, str]:
    """A quantity in the reader's system, and in the other one beside it.

    Args:
        q: a quantity.
        system: the reader's system: "inch" or "metric".
        fraction: the finest fraction of an inch that a converted length is shown in.
    Returns: ("29 1/2 in", "749.3 mm"). What was given in a system is shown there as it was given;
        lengths below 1 in that fall on no fraction are shown in decimals. An angle has minutes beside it;
        a time and a share have an empty text.

    Valid for every quantity. Source: SP811 App. B (exact factors); HOUSE (rounding)
    """
    if q.dimension == Dimension.ANGLE:
        return natural(q), format_minutes(q)
    if q.dimension not in _SYSTEM_UNITS:
        return natural(q), ""
    inch_unit, metric_unit = _SYSTEM_UNITS[q.dimension]
    given_in_inches = q.unit in INCH_UNITS
    inch = natural(q) if given_in_inches else _converted(q, inch_unit, fraction)
    metric = _converted(q, metric_unit, fraction) if given_in_inches else natural(q)
    return (inch, metric) if system == "inch" else (metric, inch)


def system_unit(dimension: Dimension, system: System) -> str:
    """The unit in which a system shows a quantity; empty for angles, times and shares, which are the same.

    Args:
        dimension: of the quantity.
        system: "inch" or "metric".
    Returns: the unit.

    Valid for every dimension. Source: HOUSE (the units of tapes and wrenches)
    """
    pair = _SYSTEM_UNITS.get(dimension)
    return "" if pair is None else pair[system == "metric"]


def _converted(q: Quantity, unit: str, fraction: int) -> str:
    shown = q.to(unit)
    if unit == "in" and (abs(shown.value) >= 1 or fraction % shown.value.denominator == 0):
        return format_quantity(shown, fraction=fraction)
    return rounded(shown)


def _needed_places(value: Fraction) -> int:
    for places in range(_MOST_PLACES + 1):
        if 10**places % value.denominator == 0:
            return places
    return _SHORT_PLACES

"""Whether a bolt or sleeve goes through holes as drilled: floats, is tight, or binds."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from shop.engineering.errors import QuantityError
from shop.engineering.quantities.figures import mixed_text
from shop.engineering.words import Words
from shop.engineering.words import say as _


class Goes(StrEnum):
    FLOATS = "floats"
    TIGHT = "tight"
    BINDS = "binds"


@dataclass(frozen=True)
class Passage:
    """How a pin stands in its holes.

    Attributes:
        goes: floats with room to spare, tight with less than the readings can tell, or binds.
        play_in: how far the pin can be moved, across; below nothing it is how much is missing. Inches.
        uncertain_in: how far that may be off by the readings (k = 2), inches.
    """

    goes: Goes
    play_in: Fraction
    uncertain_in: Fraction

    @property
    def sentence(self) -> Words:
        parts = {"play": _nearest_64th(abs(self.play_in))}
        if self.goes is Goes.FLOATS:
            return _("floats by %(play)s in", **parts)
        if self.goes is Goes.BINDS:
            return _("binds: %(play)s in is missing", **parts)
        return _(
            "too close to call: the readings leave %(play)s in either way",
            play=_nearest_64th(self.uncertain_in),
        )


def floating_pin(
    pin_in: Fraction, holes_in: tuple[Fraction, Fraction], offset_in: Fraction, *, uncertain_in: Fraction
) -> Passage:
    """A pin that is free in two holes whose centres are apart: a sleeve through both walls of a rail.

    Args:
        pin_in: largest diameter of bolt or sleeve, inches.
        holes_in: the diameters of both holes, inches.
        offset_in: how far apart the centres are, seen along the pin, inches.
        uncertain_in: expanded uncertainty (k = 2) of all of the readings together, inches.
    Returns: the play that is left.
    Raises:
        QuantityError: a size is not above nothing.

    The pin passes the lens that both circles leave: (D1 + D2)/2 - offset wide. With equal holes and
    offset the position tolerance T of each this is the floating-fastener relation H = F + T.
    Valid for round holes. Source: Y14.5 (floating fastener)
    """
    _require_sizes(pin_in, *holes_in)
    smaller = min(holes_in)
    room = min(smaller, sum(holes_in, Fraction(0)) / 2 - abs(offset_in))
    return _passage(room - pin_in, uncertain_in)


def fixed_pin(pin_in: Fraction, hole_in: Fraction, offset_in: Fraction, *, uncertain_in: Fraction) -> Passage:
    """A pin that is held in one part, such as a stud or a weld-in sleeve, and goes into a hole of another.

    Args:
        pin_in: largest diameter, inches.
        hole_in: diameter of the hole, inches.
        offset_in: how far the pin's centre is from the hole's, inches.
        uncertain_in: expanded uncertainty (k = 2) of all of the readings together, inches.
    Returns: the play that is left.
    Raises:
        QuantityError: a size is not above nothing.

    With pin and hole each off by T/2 in opposite directions this is the fixed-fastener relation H = F + 2T.
    Valid for round holes. Source: Y14.5 (fixed fastener)
    """
    _require_sizes(pin_in, hole_in)
    return _passage(hole_in - pin_in - 2 * abs(offset_in), uncertain_in)


def position_tolerance(pin_in: Fraction, hole_in: Fraction, *, fixed: bool) -> Fraction:
    """The position tolerance (a diameter) that each of two parts may have for a pin to pass.

    Args:
        pin_in: largest diameter of the pin, inches.
        hole_in: smallest diameter of the hole, inches.
        fixed: whether one of the parts holds the pin.
    Returns: inches; below nothing where the pin is larger than the hole.
    Raises:
        QuantityError: a size is not above nothing.

    Valid for equal tolerances in both parts. Source: Y14.5 (T = H - F floating, half of it fixed)
    """
    _require_sizes(pin_in, hole_in)
    return (hole_in - pin_in) / (2 if fixed else 1)


def _passage(play: Fraction, uncertain: Fraction) -> Passage:
    if abs(play) <= uncertain:
        return Passage(Goes.TIGHT, play, uncertain)
    return Passage(Goes.FLOATS if play > 0 else Goes.BINDS, play, uncertain)


def _require_sizes(*sizes: Fraction) -> None:
    if min(sizes) <= 0:
        raise QuantityError(_("Diameters are above nothing"))


def _nearest_64th(value: Fraction) -> str:
    rounded = Fraction(round(value * 64), 64)
    return mixed_text(rounded) if rounded else _("less than 1/64")

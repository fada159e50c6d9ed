"""Arc energy and heat input. Two conventions: which one a figure follows is always said."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.words import Words
from shop.engineering.words import say as _

MM_PER_IN: Final = 25.4


class ArcProcess(StrEnum):
    """Welding processes by their trade names."""

    SAW = "SAW"
    SMAW = "SMAW"
    GMAW = "GMAW"
    FCAW = "FCAW"
    GTAW = "GTAW"
    PLASMA = "plasma"


EFFICIENCY: Final = {
    ArcProcess.SAW: 1.0,
    ArcProcess.SMAW: 0.8,
    ArcProcess.GMAW: 0.8,
    ArcProcess.FCAW: 0.8,
    ArcProcess.GTAW: 0.6,
    ArcProcess.PLASMA: 0.6,
}
AMPERES_PER_INCH: Final = 1000.0
# Inches of wire a minute for one ampere, by wire diameter in inches.
WIRE_FEED: Final = {0.030: 2.0, 0.035: 1.6, 0.045: 1.0}


@dataclass(frozen=True)
class RunHeat:
    """Heat of one run.

    Attributes:
        arc_energy: V·I/v, what American codes call heat input.
        heat_input: arc energy times the efficiency of the process, as EN 1011-1 has it.
    Both in kJ/mm.
    """

    arc_energy: float
    heat_input: float
    efficiency: float

    @property
    def convention(self) -> Words:
        return _(
            "arc energy without efficiency (called heat input in American codes); heat input with "
            "k = %(k).1f after EN 1011-1",
            k=self.efficiency,
        )


def efficiency_of(process: ArcProcess) -> float:
    """The share of the arc's energy that goes into the work.

    Args:
        process: of welding.
    Returns: k, relative to submerged arc.

    Valid for the convention of EN 1011-1. Source: EN1011-1 (as quoted by TWI)
    """
    return EFFICIENCY[process]


def arc_energy(volts: float, amperes: float, travel_per_minute: float) -> float:
    """Energy of the arc for each unit of length.

    Args:
        volts: arc voltage.
        amperes: welding current.
        travel_per_minute: travel speed, mm/min or in/min.
    Returns: kJ/mm, or kJ/in where the speed is in in/min.
    Raises:
        QuantityError: a figure is not above nothing; standing still has no heat input for each length.

    Valid for a steady arc. Source: EN1011-1 (E = 60·V·I/(1000·v))
    """
    if travel_per_minute <= 0:
        raise QuantityError(_("The travel speed is above nothing: a length a minute"))
    if volts <= 0 or amperes <= 0:
        raise QuantityError(_("Volts and amperes are above nothing"))
    return 60 * volts * amperes / (1000 * travel_per_minute)


def run_heat(volts: float, amperes: float, travel_mm_per_min: float, process: ArcProcess) -> RunHeat:
    """Arc energy and heat input of a run, side by side.

    Args:
        volts: arc voltage.
        amperes: welding current.
        travel_mm_per_min: travel speed, mm/min.
        process: of welding.
    Returns: both, kJ/mm.
    Raises:
        QuantityError: a figure is not above nothing.

    Valid for a steady arc. Source: EN1011-1 (Q = k·E)
    """
    energy, k = arc_energy(volts, amperes, travel_mm_per_min), efficiency_of(process)
    return RunHeat(energy, k * energy, k)


def per_inch(kilojoule_per_mm: float) -> float:
    """A heat input for each inch.

    Args:
        kilojoule_per_mm: kJ/mm.
    Returns: kJ/in.

    Valid for every value. Source: SP811 App. B (1 in = 25.4 mm exactly)
    """
    return kilojoule_per_mm * MM_PER_IN


def slowest_travel(volts: float, amperes: float, most: float, *, efficiency: float = 1.0) -> float:
    """The travel speed below which a heat input is exceeded.

    Args:
        volts: arc voltage.
        amperes: welding current.
        most: the ceiling, kJ/mm.
        efficiency: k, or 1 where the ceiling is an arc energy.
    Returns: mm/min.
    Raises:
        QuantityError: a figure is not above nothing.

    Valid for a steady arc. Source: EN1011-1 (turned round)
    """
    return efficiency * arc_energy(volts, amperes, most)


def starting_amperes(thickness_in: float) -> float:
    """A current to begin with on mild steel.

    Args:
        thickness_in: of the metal, inches.
    Returns: amperes.
    Raises:
        QuantityError: the thickness is not above nothing.

    Valid as a rule of thumb for solid wire, to about 1/4 in; the coupon decides.
    Source: MILLER-GMAW (1 A for each 0.001 in)
    """
    if thickness_in <= 0:
        raise QuantityError(_("A thickness is above nothing"))
    return AMPERES_PER_INCH * thickness_in


def starting_wire_feed(wire_in: float, amperes: float) -> float:
    """A wire feed speed to begin with.

    Args:
        wire_in: diameter of the wire, inches: 0.030, 0.035 or 0.045.
        amperes: current that is wanted.
    Returns: inches a minute.
    Raises:
        QuantityError: a wire that the rule does not know, or no current.

    Valid as a rule of thumb for solid wire; the coupon decides.
    Source: MILLER-GMAW (2, 1.6, 1 in/min an ampere)
    """
    if wire_in not in WIRE_FEED:
        raise QuantityError(_("The rule knows wire of 0.030, 0.035 and 0.045 in"))
    if amperes <= 0:
        raise QuantityError(_("Amperes are above nothing"))
    return WIRE_FEED[wire_in] * amperes

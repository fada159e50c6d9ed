"""A tape as layout sees it: how far a reading may be off, and the slips that are made with it."""

import math
from dataclasses import dataclass, replace
from fractions import Fraction

from shop.engineering.decision.uncertainty import InstrumentData
from shop.engineering.quantities.measures import UNITS

METRIC = frozenset({"mm", "cm", "m"})
# Common practice, no source: a tape is held at its 1 in or 100 mm line, and its hook is about 1/16 in thick.
BURNED = {"in": 1.0, "mm": 100.0}
HOOK = {"in": 1 / 16, "mm": 1.6}
DIVISIONS = {"in": (1 / 16, 1 / 8, 1 / 4, 1 / 2), "mm": (1.0, 5.0, 10.0)}


@dataclass(frozen=True)
class Tape:
    """Plain numbers in `unit`, in or mm.

    error: the permissible error, and `share` of the reading beside it.
    resolution: the smallest step that can be told.
    calibration: the standard uncertainty of its calibration.
    """

    unit: str
    error: float
    resolution: float
    share: float = 0.0
    calibration: float = 0.0

    @property
    def burned(self) -> float:
        """Where it is held instead of at its end."""
        return BURNED[self.unit]

    @property
    def hook(self) -> float:
        return HOOK[self.unit]

    @property
    def divisions(self) -> tuple[float, ...]:
        """By how much a line of the tape is taken for its neighbour."""
        return DIVISIONS[self.unit]

    def bound(self, at: float) -> float:
        """By how much a length may be off with it, without its divisions; its calibration counts twice."""
        return max(self.error + abs(at) * self.share + 2 * self.calibration, self.resolution / 8)

    def read_often(self, times: int) -> "Tape":
        """The same tape for the mean of so many readings: only what the eye does is averaged."""
        return replace(self, resolution=self.resolution / math.sqrt(times))

    def own(self, at: float) -> float:
        """The standard uncertainty that is the tape's own, however often it is read."""
        return math.hypot((self.error + abs(at) * self.share) / math.sqrt(3), self.calibration)

    def u(self, at: float) -> float:
        """The standard uncertainty of one reading."""
        return math.hypot(self.own(at), self.resolution / math.sqrt(12))


def tape_of(instrument: InstrumentData) -> Tape:
    """The tape that an instrument's figures describe.

    Args:
        instrument: of length.
    Returns: the tape, in mm where the instrument is metric, else in inches.

    Valid for instruments that measure lengths. Source: GUM 4.3.7; GUM F.2.2.1; GUM 4.3.3
    """
    unit = "mm" if instrument.resolution.unit in METRIC else "in"
    size = UNITS[unit][1]
    fixed = instrument.permissible(Fraction(0))
    calibration = instrument.calibration_u
    return Tape(
        unit,
        error=float(fixed / size),
        resolution=float(instrument.resolution.quanta / size),
        share=float(instrument.permissible_fraction or 0),
        calibration=float(calibration.quanta / size) / 2 if calibration is not None else 0.0,
    )

"""An order of welding that spreads heat: next where it is coolest, sides in turn, by a cooling model."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from shop.engineering.errors import GeometryError
from shop.engineering.words import Words
from shop.engineering.words import say as _

if TYPE_CHECKING:
    import numpy as np

    Array = np.ndarray[Any, Any]

# Mild steel: W/(mm·K), J/(mm³·K); heat that a square millimetre of bare sheet gives off on both faces, W/K.
CONDUCTIVITY: Final = 0.045
HEAT_CAPACITY: Final = 0.0038
SURFACE: Final = 4e-5
# Nothing is warmer than the weld that was just made: the model's point source has no size, a weld has.
WELD_RADIUS_MM: Final = 4.0
ALIKE_K: Final = 5.0
WARM_K: Final = 30.0
FORGOTTEN_K: Final = 0.01


@dataclass(frozen=True)
class WeldPlace:
    """One weld as the cooling model sees it.

    Attributes:
        panel: the sheet that it is in; heat is not led from one panel to another.
        side: "left", "right" or empty: sides are taken in turn.
        at_mm: the middle of the weld in its panel, two or three figures.
        energy_j: heat that goes into the sheet.
        minutes: how long it takes with what is done between two welds.
        thickness_mm: of the sheet.
        group: those of a lower group are made first.
    """

    code: str
    panel: str
    side: str
    at_mm: tuple[float, ...]
    energy_j: float
    minutes: float = 0.75
    thickness_mm: float = 3.0
    group: int = 0


@dataclass(frozen=True)
class OrderedWeld:
    """A weld in its turn.

    Attributes:
        warm_k: how much warmer than the shop its place is when it is begun.
        away_mm: how far the nearest weld is that is still warm, in its panel; None where none is.
    """

    code: str
    warm_k: float
    away_mm: float | None
    changes_side: bool
    after: str

    @property
    def reason(self) -> Words:
        warm = round(self.warm_k)
        if not self.after:
            return _("begin here: everything is cold")
        if self.away_mm is None:
            where = _("nothing near it is warm")
        else:
            where = _(
                "the nearest warm weld is %(mm).0f mm (%(inch).1f in) away",
                mm=self.away_mm,
                inch=self.away_mm / 25.4,
            )
        if self.changes_side:
            return _(
                "other side than %(after)s; %(where)s; about %(k)d °C above the shop",
                after=self.after,
                where=where,
                k=warm,
            )
        return _("the coolest place left; %(where)s; about %(k)d °C above the shop", where=where, k=warm)


@dataclass(frozen=True)
class HeatOfOrder:
    """What an order of welding does.

    Attributes:
        peak_k: the warmest place at which a weld is begun, above the shop.
        spread_k: how unevenly the places of the welds are warm, standard deviation, mean over the work.
    """

    peak_k: float
    spread_k: float


def weld_order(places: Sequence[WeldPlace], *, made: Sequence[str] = ()) -> tuple[OrderedWeld, ...]:
    """The order of the welds that are left.

    Args:
        places: all welds, in the order of the map.
        made: codes of those that are made, in the order in which they were.
    Returns: what is left, in turn, each with its reason.
    Raises:
        GeometryError: a code twice, an unknown one, or figures that are not above nothing.

    Valid as advice: one weld after the other without a break, thin sheet, heat led within a panel.
    Source: ROSENTHAL (instantaneous line source in a thin plate, loss from both faces); HOUSE (the choice)
    """
    model = _Model(places)
    done = [model.number(code) for code in made]
    if len(set(done)) < len(done):
        raise GeometryError(_("A weld is made once"))
    for weld in done:
        model.make(weld)
    left = [i for i in range(len(places)) if i not in set(done)]
    found = []
    for group in sorted({places[i].group for i in left}):
        here = [i for i in left if places[i].group == group]
        while here:
            chosen = model.coolest(here)
            found.append(model.told(chosen))
            here.remove(chosen)
            model.make(chosen)
    return tuple(found)


def heat_of_order(places: Sequence[WeldPlace], order: Sequence[str]) -> HeatOfOrder:
    """How warm and how uneven an order of welding makes a structure.

    Args:
        places: all welds.
        order: their codes, each once.
    Returns: peak and spread of the modelled temperature.
    Raises:
        GeometryError: an order that is not one of all the welds.

    Valid for comparing orders with the same model, not as a temperature to rely on. Source: ROSENTHAL
    """
    model = _Model(places)
    numbers = [model.number(code) for code in order]
    if sorted(numbers) != list(range(len(places))):
        raise GeometryError(_("An order names each weld once"))
    peak, spreads = 0.0, []
    for weld in numbers:
        peak = max(peak, float(model.warm[weld]))
        model.make(weld)
        spreads.append(float(model.warm.std()))
    return HeatOfOrder(peak, sum(spreads) / len(spreads) if spreads else 0.0)


class _Model:
    """Temperatures at the place of every weld, as one after the other is made."""

    def __init__(self, places: Sequence[WeldPlace]) -> None:
        import numpy as np

        _require(places)
        self.places = places
        self._numbers = {place.code: i for i, place in enumerate(places)}
        names = {place.panel: number for number, place in enumerate(places)}
        panels = np.array([names[place.panel] for place in places])
        at = np.array([[*place.at_mm, 0.0][:3] for place in places], float).reshape(-1, 3)
        apart = ((at[:, None, :] - at[None, :, :]) ** 2).sum(axis=2)
        self._square = np.where(panels[:, None] == panels[None, :], apart, np.inf)
        self._thickness = np.array([place.thickness_mm for place in places])
        self._energy = np.array([place.energy_j for place in places])
        self._made: list[int] = []
        # Those that still warm anything, and when each had its heat.
        self._hot: list[int] = []
        self._ends: list[float] = []
        self._clock = 0.0
        self.warm = np.zeros(len(places))

    def number(self, code: str) -> int:
        found = self._numbers.get(code)
        if found is None:
            raise GeometryError(_("There is no weld %(code)s on the map", code=code))
        return found

    def make(self, weld: int) -> None:
        """Make a weld; the clock goes on to when the next is begun."""
        import numpy as np

        self._clock += 60 * self.places[weld].minutes
        self._made.append(weld)
        self._hot.append(weld)
        # Its heat goes in half a turn before the next is begun.
        self._ends.append(self._clock - 30 * self.places[weld].minutes)
        made = np.array(self._hot)
        age = self._clock - np.array(self._ends)
        spread = 4 * CONDUCTIVITY / HEAT_CAPACITY * age + WELD_RADIUS_MM**2
        lost = np.exp(-age * 2 * SURFACE / (HEAT_CAPACITY * self._thickness[made]))
        height = self._energy[made] * lost / (math.pi * HEAT_CAPACITY * self._thickness[made] * spread)
        self.warm = height @ np.exp(-self._square[made] / spread[:, None])
        still = height > FORGOTTEN_K
        self._hot, self._ends = made[still].tolist(), (self._clock - age[still]).tolist()

    def coolest(self, left: Sequence[int]) -> int:
        """On the other side where there is one; the coolest there, and of those alike the farthest."""
        last = self._made[-1] if self._made else None
        side = self.places[last].side if last is not None else ""
        other = [i for i in left if side and self.places[i].side and self.places[i].side != side]
        choice = other or list(left)
        warm = self.warm[choice]
        alike = [i for i, k in zip(choice, warm, strict=True) if k <= warm.min() + ALIKE_K]
        return alike[int(self._to_warm(alike).argmax())]

    def told(self, weld: int) -> OrderedWeld:
        last = self.places[self._made[-1]] if self._made else None
        away = float(self._to_warm([weld])[0])
        side = self.places[weld].side
        changes = last is not None and bool(side and last.side) and side != last.side
        return OrderedWeld(
            self.places[weld].code,
            float(self.warm[weld]),
            None if math.isinf(away) else away,
            changes,
            last.code if last else "",
        )

    def _to_warm(self, welds: Sequence[int]) -> Array:
        """How far from each the nearest weld of its panel is that is still warm."""
        import numpy as np

        warm = [i for i in self._made if self.warm[i] > WARM_K]
        if not warm:
            return np.full(len(welds), np.inf)
        return np.asarray(np.sqrt(self._square[np.ix_(welds, warm)].min(axis=1)))


def _require(places: Sequence[WeldPlace]) -> None:
    if not places:
        raise GeometryError(_("There is no weld on the map"))
    codes = [place.code for place in places]
    if len(set(codes)) < len(codes):
        raise GeometryError(_("Each weld has a code of its own"))
    for place in places:
        figures = (place.energy_j, place.minutes, place.thickness_mm)
        if not all(math.isfinite(f) and f > 0 for f in figures) or len(place.at_mm) not in {2, 3}:
            raise GeometryError(_("%(code)s needs a place, a heat, a time and a thickness", code=place.code))

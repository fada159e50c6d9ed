"""Stock drills and hole saws: their names, their sizes, the one that fits a need."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.quantities.figures import mixed_text, read_number
from shop.engineering.words import say as _

MM: Final = Fraction(10, 254)  # of an inch

_NUMBERS: Final = """
0.2280 0.2210 0.2130 0.2090 0.2055 0.2040 0.2010 0.1990 0.1960 0.1935 0.1910 0.1890
0.1850 0.1820 0.1800 0.1770 0.1730 0.1695 0.1660 0.1610 0.1590 0.1570 0.1540 0.1520
0.1495 0.1470 0.1440 0.1405 0.1360 0.1285 0.1200 0.1160 0.1130 0.1110 0.1100 0.1065
0.1040 0.1015 0.0995 0.0980 0.0960 0.0935 0.0890 0.0860 0.0820 0.0810 0.0785 0.0760
0.0730 0.0700 0.0670 0.0635 0.0595 0.0550 0.0520 0.0465 0.0430 0.0420 0.0410 0.0400
"""
_LETTERS: Final = """
0.234 0.238 0.242 0.246 0.250 0.257 0.261 0.266 0.272 0.277 0.281 0.290 0.295
0.302 0.316 0.323 0.332 0.339 0.348 0.358 0.368 0.377 0.386 0.397 0.404 0.413
"""

# Catalogue sizes of hole saws in inches with the millimetres that makers print for them.
_SAWS: Final = {
    "9/16": 14, "5/8": 16, "11/16": 17, "3/4": 19, "7/8": 22, "1": 25,
    "1 1/8": 29, "1 1/4": 32, "1 3/8": 35, "1 1/2": 38, "1 5/8": 41, "1 3/4": 44, "1 7/8": 48,
    "2": 51, "2 1/8": 54, "2 1/4": 57, "2 3/8": 60, "2 1/2": 64,
}  # fmt: skip


@dataclass(frozen=True, order=True)
class Drill:
    """A drill of a stock size. They sort by size.

    Attributes:
        diameter_in: exact, inches.
        name: as it is stamped: `17/64`, `#7`, `F`, `6.8 mm`.
    """

    diameter_in: Fraction
    name: str

    @property
    def diameter_mm(self) -> Fraction:
        return self.diameter_in / MM

    def __str__(self) -> str:
        return self.name


def _fractional() -> list[Drill]:
    return [Drill(Fraction(n, 64), mixed_text(Fraction(n, 64))) for n in range(1, 113)]


def _metric() -> list[Drill]:
    tenths = [*range(10, 131), *range(135, 261, 5)]
    return [Drill(Fraction(n, 10) * MM, f"{n / 10:.1f} mm") for n in tenths]


FRACTIONAL: Final = tuple(_fractional())
NUMBERED: Final = tuple(Drill(Fraction(size), f"#{n}") for n, size in enumerate(_NUMBERS.split(), start=1))
LETTERED: Final = tuple(Drill(Fraction(size), chr(ord("A") + n)) for n, size in enumerate(_LETTERS.split()))
METRIC: Final = tuple(_metric())
INCH: Final = tuple(sorted((*FRACTIONAL, *NUMBERED, *LETTERED)))


def find_drill(name: str) -> Drill:
    """The stock drill of that name.

    Args:
        name: `17/64`, `17/64 in`, `#7`, `No. 7`, `F` or `6.8 mm`.
    Returns: the drill.
    Raises:
        QuantityError: there is no such stock size.

    Valid for fractions to 1 3/4 in, numbers 1 to 60, letters, 1 to 26 mm. Source: B94.11M
    """
    text = name.strip().removesuffix("in").removesuffix('"').strip()
    for prefix in ("no.", "no ", "number "):
        if text.lower().startswith(prefix):
            text = "#" + text[len(prefix) :].strip()
    for drill in (*INCH, *METRIC):
        if drill.name.lower() == text.replace("-", " ").lower():
            return drill
    raise QuantityError(
        _("%(name)s is no stock drill. Write it like 17/64, #7, F or 6.8 mm", name=name.strip()[:40])
    )


def smallest_not_below(size_in: Fraction, drills: tuple[Drill, ...] = INCH) -> Drill:
    """The smallest drill of a set that is not below a size.

    Args:
        size_in: the least diameter, inches.
        drills: those the shop has.
    Returns: the drill; of several of one size the fractional one, which is found in every shop.
    Raises:
        QuantityError: none is large enough.

    Valid for any set. Source: HOUSE (lookup)
    """
    fitting = [drill for drill in drills if drill.diameter_in >= size_in]
    if not fitting:
        raise QuantityError(
            _("No drill at hand is as large as %(size).4f in; a hole saw or a reamer is", size=float(size_in))
        )
    return min(fitting, key=lambda drill: (drill.diameter_in, drill.name[0] in "#ABCDEFGHIJKLMNOPQRSTUVWXYZ"))


def nearest(size_in: Fraction, drills: tuple[Drill, ...]) -> Drill:
    """The drill of a set that is nearest to a size; the smaller of two as near.

    Args:
        size_in: inches.
        drills: at least one.
    Returns: the drill.
    Raises: nothing.

    Valid for any set. Source: HOUSE (lookup)
    """
    return min(drills, key=lambda drill: (abs(drill.diameter_in - size_in), drill.diameter_in))


def saw_sizes_in() -> tuple[Fraction, ...]:
    """Catalogue sizes of hole saws, inches.

    Valid for any shop. Source: HOUSE (makers' catalogues)
    """
    return tuple(read_number(name) for name in _SAWS)


def saw_size_mm(size: str) -> int:
    """The millimetres that catalogues print for a hole saw of an inch size.

    Args:
        size: inches, such as `1 1/2`.
    Returns: whole millimetres.
    Raises:
        QuantityError: no catalogue has that size.

    Valid for 9/16 to 2 1/2 in. Source: HOUSE (makers' catalogues)
    """
    name = mixed_text(read_number(size.removesuffix("in").strip().replace("-", " ")))
    if name not in _SAWS:
        raise QuantityError(_("There is no hole saw of %(size)s in in the catalogues", size=size))
    return _SAWS[name]

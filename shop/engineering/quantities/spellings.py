"""How people spell units, and which spellings could be two."""

import re

from shop.engineering.errors import QuantityError
from shop.engineering.words import say as _

_WORDS: dict[str, str] = {
    **dict.fromkeys(("inch", "inches", "ins", '"'), "in"),
    **dict.fromkeys(("foot", "feet", "'"), "ft"),
    **dict.fromkeys(("lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("newton", "newtons"), "n"),
    **dict.fromkeys(("metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("um", "micron", "microns"), "µm"),
    **dict.fromkeys(("deg", "degs", "degree", "degrees"), "°"),
    **dict.fromkeys(("ounce", "ounces"), "oz"),
    **dict.fromkeys(("gram", "grams"), "g"),
    **dict.fromkeys(("kilogram", "kilograms", "kgs"), "kg"),
    **dict.fromkeys(("mins", "minute", "minutes"), "min"),
    **dict.fromkeys(("hr", "hrs", "hour", "hours"), "h"),
    **dict.fromkeys(("sec", "secs", "second", "seconds"), "s"),
    "percent": "%",
}

_WHOLE: dict[str, str] = {
    **dict.fromkeys(
        ("lbf·ft", "ft·lbf", "lb·ft", "ft·lb", "ftlb", "ftlbs", "ftlbf", "lbft", "lbfft"), "lbf·ft"
    ),
    **dict.fromkeys(
        ("lbf·in", "in·lbf", "lb·in", "in·lb", "inlb", "inlbs", "inlbf", "lbin", "lbfin"), "lbf·in"
    ),
    **dict.fromkeys(("n·m", "nm"), "N·m"),
    **dict.fromkeys(("kgf·m", "kg·m", "m·kgf", "m·kg", "kgfm", "kgm"), "kgf·m"),
    **dict.fromkeys(("lbf/in", "lb/in"), "lbf/in"),
    "n/mm": "N/mm",
    "n/m": "N/m",
    **dict.fromkeys(("kgf/mm", "kg/mm"), "kgf/mm"),
    "n": "N",
    "kn": "kN",
    "mpa": "MPa",
    "kpa": "kPa",
    "pa": "Pa",
}

_SAME_AS_WRITTEN = (
    *("in", "ft", "thou", "mm", "cm", "m", "µm", "°", "lb", "oz", "kg", "g", "mg", "psi", "ksi", "bar"),
    *("lbf", "kgf", "s", "min", "h", "ft/min", "in/min", "m/min", "mm/min", "%"),
)
_SPELLINGS = {**{name: name for name in _SAME_AS_WRITTEN}, **_WHOLE}

# Written like this they are another unit, and meant like that they are common.
_TWO_WAYS = {
    "nm": ("N·m", _("“nm” would be nanometres")),
    "mPa": ("MPa", _("“mPa” would be thousandths of a pascal")),
    "mpa": ("MPa", _("“mpa” could be two pressures")),
    "Mm": ("mm", _("“Mm” would be thousands of kilometres")),
    "Mg": ("mg", _("“Mg” would be tonnes")),
}


def find_unit(spelling: str) -> str:
    """The unit that a spelling stands for.

    Args:
        spelling: the text of a unit, cleaned; not empty.
    Returns: its name in `measures.UNITS`.
    Raises:
        QuantityError: for an unknown spelling, or one that could be two units.

    Valid for any string; capitals do not matter unless they change the meaning.
    Source: HOUSE (spellings seen on sheets and wrenches)
    """
    text = re.sub(r" ?/ ?", "/", spelling.strip()).rstrip(". ")
    if text in _TWO_WAYS:
        meant, why = _TWO_WAYS[text]
        raise QuantityError(_("%(why)s; write %(meant)s if that is meant", why=why, meant=meant), (meant,))
    sides = [re.split(r"[ .·-]+", side) for side in text.lower().split("/")]
    key = "/".join("·".join(_WORDS.get(word, word) for word in side) for side in sides)
    found = _SPELLINGS.get(key)
    if found is None:
        raise QuantityError(_("“%(unit)s” is not a unit that is known here", unit=spelling.strip()))
    return found

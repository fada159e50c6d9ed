"""Bringing what people type, paste or scan into one set of characters, before it is read."""

import re
import unicodedata

from shop.engineering.errors import QuantityError
from shop.engineering.words import say as _

MAX_CHARACTERS = 80
MAX_DIGITS = 12

_SAME = {
    "'": "′’‘ʹ´`",
    '"': "″”“ʺ",
    "/": "⁄∕",
    "-": "‐‑",
    "·": "⋅•∙*×",
    "°": "º˚",
    " ": "\u00a0\u2009\u202f\u2007\u2002\u2003\t",
    "µ": "μ",
    "…": "⋯‥",
    "≤": "⩽≦",
    "≥": "⩾≧",
}
_TABLE = str.maketrans({odd: plain for plain, odds in _SAME.items() for odd in odds})
_VULGAR = {
    character: unicodedata.normalize("NFKC", character).replace("⁄", "/") for character in "½¼¾⅛⅜⅝⅞⅓⅔⅕⅖⅗⅘⅙⅚"
}
_VULGAR_FORM = re.compile(rf"(?P<before>[0-9][ -]?)?(?P<vulgar>[{''.join(_VULGAR)}])(?P<after>(?=[0-9]))?")
_ALLOWED = re.compile(r"[A-Za-z0-9 .,+\-−–±≤≥<>=/…·°'\"%µ:^~()#]")


def clean(text: str) -> str:
    """One way of writing for what looks the same: blanks, primes, dashes, slashes, built fractions.

    Args:
        text: as typed.
    Returns: the text with single blanks; letters keep their case, a true minus and a dash stay apart.
    Raises:
        QuantityError: for nothing, for too much, and for a character that no measurement has.

    Valid for any string. Source: HOUSE (every form of a character that keyboards and documents produce)
    """
    if len(text) > MAX_CHARACTERS:
        raise QuantityError(_("That is too long for a measurement: %(count)d characters", count=len(text)))
    plain = _VULGAR_FORM.sub(_spell_out, text.translate(_TABLE)).replace("''", '"').replace("...", "…")
    plain = " ".join(plain.split(" ")).strip()
    plain = re.sub(" +", " ", plain)
    if not plain:
        raise QuantityError(_("Nothing is entered"))
    for character in plain:
        if not _ALLOWED.fullmatch(character):
            raise QuantityError(
                _("%(character)s does not belong in a measurement", character=_shown(character))
            )
    if re.search(rf"[0-9]{{{MAX_DIGITS + 1}}}", plain):
        raise QuantityError(_("That number has more digits than any measurement"))
    return plain


def _spell_out(match: re.Match[str]) -> str:
    before, after = match["before"], match["after"]
    joined = f"{before[0]} " if before else ""
    return f"{joined}{_VULGAR[match['vulgar']]}{' ' if after is not None else ''}"


def _shown(character: str) -> str:
    name = unicodedata.name(character, f"U+{ord(character):04X}").lower()
    return f"“{character}” ({name})" if character.isprintable() else f"({name})"

"""English numerals: ones, tens, hundreds, thousands, and the names of parts."""

from collections.abc import Sequence
from typing import Final

_ONES: Final = """
zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen
seventeen eighteen nineteen
"""
_TENS: Final = """
twenty thirty forty fifty sixty seventy eighty ninety
"""

UNITS: Final = {word: value for value, word in enumerate(_ONES.split())}
TENS: Final = {word: value for value, word in zip(range(20, 100, 10), _TENS.split(), strict=True)}
DIGITS: Final = {word: str(value) for word, value in UNITS.items() if value < 10}
NUMERALS: Final = frozenset((*UNITS, *TENS, "hundred", "thousand"))
PARTS: Final = {
    **dict.fromkeys(("half", "halves"), 2),
    **dict.fromkeys(("third", "thirds"), 3),
    **dict.fromkeys(("quarter", "quarters", "fourth", "fourths"), 4),
    **dict.fromkeys(("fifth", "fifths"), 5),
    **dict.fromkeys(("eighth", "eighths"), 8),
    **dict.fromkeys(("tenth", "tenths"), 10),
    **dict.fromkeys(("sixteenth", "sixteenths"), 16),
    **dict.fromkeys(("thirty-second", "thirty-seconds"), 32),
    **dict.fromkeys(("sixty-fourth", "sixty-fourths"), 64),
    **dict.fromkeys(("hundredth", "hundredths"), 100),
    **dict.fromkeys(("thousandth", "thousandths"), 1000),
}


def whole_of(words: Sequence[str]) -> int | None:
    """The whole number that words say.

    Args:
        words: lower case, hyphens taken out: `one hundred and five`, `a hundred`, `twenty nine`.
    Returns: 0 to 999 999; None where the words are not one whole number.

    Valid for any words. Source: HOUSE (English numerals)
    """
    thousands, found, rest = _split(words, "thousand")
    if not found:
        return _below_thousand(rest)
    front = _below_thousand(thousands) if thousands else None
    back = _tail(rest)
    return None if front in {None, 0} or back is None else (front or 0) * 1000 + back


def _below_thousand(words: Sequence[str]) -> int | None:
    hundreds, found, rest = _split(words, "hundred")
    if not found:
        return _below_hundred(rest)
    front = 1 if list(hundreds) in (["a"], ["an"]) else _below_hundred(hundreds)
    back = _tail(rest)
    if front is None or back is None or not 0 < front < 20:
        return None
    return front * 100 + back


def _tail(words: Sequence[str]) -> int | None:
    """What comes behind hundred or thousand, with or without “and”; nothing is 0."""
    if not words:
        return 0
    plain = words[1:] if words[0] == "and" else words
    return _below_thousand(plain) or None


def _below_hundred(words: Sequence[str]) -> int | None:
    if len(words) == 1:
        return UNITS.get(words[0], TENS.get(words[0]))
    if len(words) == 2 and words[0] in TENS and 0 < UNITS.get(words[1], 0) < 10:
        return TENS[words[0]] + UNITS[words[1]]
    return None


def _split(words: Sequence[str], at: str) -> tuple[Sequence[str], bool, Sequence[str]]:
    if at not in words:
        return (), False, words
    place = list(words).index(at)
    return words[:place], True, words[place + 1 :]

"""Figures as they are called out: “twenty-nine and a half” put into figures before they are read."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from shop.engineering.errors import QuantityError
from shop.engineering.quantities.figures import NUMBER, mixed_text, read_number
from shop.engineering.quantities.numerals import DIGITS, NUMERALS, PARTS, whole_of
from shop.engineering.words import say as _

_TOKEN = re.compile(rf"{NUMBER}|[A-Za-z]+|.")
_SPOKEN = NUMERALS | set(PARTS) | {"point"}
_JOINING = {"and", "a", "an", "of"}
_MINUS = {"minus", "negative"}
_FEET = {"foot", "feet", "ft"}
_ENDS = re.compile(r"(?<=[0-9]/)([0-9]+)(?:ths?|nds?|rds?)\b")
_WITH_FIGURES = re.compile(r"[0-9] (?:and|of|an?)\b", re.IGNORECASE)
_ORDINALS = re.compile(r"\b(?P<count>[0-9]+)(?P<gap>[ -])(?P<parts>2nds?|4ths?|8ths?|16ths?|32nds?|64ths?)\b")


@dataclass(frozen=True)
class _Run:
    """Words of one number and what stood behind them, up to the next number."""

    words: tuple[str, ...]
    rest: str


@dataclass(frozen=True)
class _Reading:
    """One way to take the words; sure where “and” or nothing stands before the part."""

    value: Fraction
    is_sure: bool
    has_whole: bool


def written_out(text: str) -> str:
    """A text in which numbers that were said stand in figures; one without such words as it is.

    Args:
        text: cleaned, such as `twenty-nine and a half in`, `29 and a half`, `2 and 11 sixteenths`,
            `one and one-eighth`, `an inch and a half`, `two feet three inches`, `minus three quarters`.
    Returns: `29 1/2 in`, `29 1/2`, `2 11/16`, `1 1/8`, `1 1/2 inch`, `2 feet 3 inches`, `- 3/4`.
    Raises:
        QuantityError: the words are no number, or could be more than one; `.meant` says which.

    Valid for English words from zero to 999 999 with halves to sixty-fourths and decimal parts.
    A whole and a part are joined by “and”; what only a pause tells apart is refused.
    Source: HOUSE (how figures are called out at a tape)
    """
    plain = _ORDINALS.sub(_plain_part, _ENDS.sub(r"\1", text))
    said = any(word.lower() in _SPOKEN for word in re.findall("[A-Za-z]+", plain))
    if not said and not _WITH_FIGURES.search(plain):
        return plain
    _refuse_seconds(plain)
    sign, runs = _runs(plain)
    spelled = (f"{number}{rest}".strip() for number, rest in _joined(runs))
    return f"{sign}{' '.join(spelled)}"


def _refuse_seconds(plain: str) -> None:
    """A thirty-second is told from thirty seconds by what stands before it, and by its hyphen."""
    if re.fullmatch("thirty-seconds?", plain.strip(" +-−").lower()):
        raise QuantityError(_("“%(text)s” could be a part or a time", text=plain), ("1/32", "30 s"))
    loose = re.search(r"(?P<count>[A-Za-z]+|[0-9]+) thirty (?P<parts>seconds?)\b", plain, re.IGNORECASE)
    if loose and (loose["count"].lower() in NUMERALS or loose["count"].isdigit()):
        said = f"{loose['count']} thirty-{loose['parts']}"
        raise QuantityError(_("“%(text)s” could be parts of an inch or a time", text=plain), (said,))


def _plain_part(match: re.Match[str]) -> str:
    """11 16ths as 11 sixteenths."""
    named = {size: name for name, size in PARTS.items() if name.endswith("s") and "-" not in name}
    named |= {32: "thirty-seconds", 64: "sixty-fourths"}
    return f"{match['count']} {named[int(re.sub('[a-z]', '', match['parts']))]}"


def _runs(text: str) -> tuple[str, list[_Run]]:
    """The sign, and the runs of number words, each with the unit behind it."""
    words: list[str] = []
    found: list[_Run] = []
    rest = sign = ""
    tokens = [match.group() for match in _TOKEN.finditer(text)]
    for place, token in enumerate(tokens):
        low = token.lower()
        if not found and not words and not rest.strip() and low in {*_MINUS, "-", "−", "–", "+"}:
            sign = "+" if low == "+" else "-"
            continue
        if _is_of_number(low, tokens, place):
            if rest.strip():
                found.append(_Run(tuple(words), rest))
                words, rest = [], ""
            words.append(low)
        elif low in {" ", "-"} and not rest:
            words.append(low)
        else:
            rest += token
    return sign, [*found, _Run(tuple(words), rest)]


def _is_of_number(low: str, tokens: Sequence[str], place: int) -> bool:
    if low in _JOINING or low in _SPOKEN or re.fullmatch(NUMBER, low):
        return True
    behind = "".join(tokens[place - 2 : place]).lower()
    return low in {"second", "seconds"} and behind == "thirty-" and place > 2


def _joined(runs: list[_Run]) -> list[tuple[str, str]]:
    """Each number in figures with its unit; “an inch and a half” as one."""
    found: list[tuple[str, str]] = []
    for run in runs:
        words = [word for word in run.words if word != " "]
        after_unit = bool(found) and found[-1][1].strip()
        if words[:1] == ["and"] and after_unit and len(words) > 1:
            value, is_part = _value(words[1:], run)
            if is_part and not run.rest.strip():
                number, unit = found.pop()
                found.append((_with_part(number, unit, value), f" {unit.strip()}"))
                continue
        elif words[:1] == ["and"] and not found and run.rest.strip() == "":
            raise QuantityError(_("“%(text)s” is not one measurement", text=" ".join(words)))
        elif not words:
            found.append(("", run.rest))
            continue
        else:
            value, is_part = _value(words, run)
        found.append((_figure(value), f" {run.rest.strip()}" if run.rest.strip() else ""))
    return found


def _with_part(number: str, unit: str, part: Fraction) -> str:
    """Whole and part around a unit: an inch and a half."""
    if not (number or "1").isdigit():
        raise QuantityError(_("“%(text)s” is two numbers, not one", text=f"{number}{unit} {part}"))
    whole = int(number or 1)
    if unit.strip().lower() in _FEET:
        meant = (f"{mixed_text(whole + part)} ft", f"{whole}' {mixed_text(part)}\"")
        raise QuantityError(
            _("%(part)s after feet could be of a foot or of an inch", part=mixed_text(part)), meant
        )
    return mixed_text(whole + part)


def _figure(value: Fraction) -> str:
    """In the fraction of a rule, else with all its decimals."""
    if value.denominator in {1, *PARTS.values()} and value.denominator not in {10, 100, 1000}:
        return mixed_text(value)
    places = next(n for n in range(1, 13) if 10**n % value.denominator == 0)
    whole, rest = divmod(value * 10**places, 10**places)
    return f"{whole}.{str(rest).rjust(places, '0')}"


def _value(words: list[str], run: _Run) -> tuple[Fraction, bool]:
    """The value of a run, and whether it is a part alone."""
    said = _tidy(words)
    text = " ".join(said).replace(" - ", "-")
    if "point" in said:
        return _decimal(said, text), False
    size, counted = _part_size(said)
    if size is None:
        value = _whole(counted, text)
        return value, False
    readings, improper = _readings(counted, size), _improper(counted, size)
    if len(readings) == 1 and readings[0].is_sure and not improper:
        return readings[0].value, not readings[0].has_whole
    raise _unclear(text, sorted({reading.value for reading in readings} | improper), run)


def _tidy(words: list[str]) -> list[str]:
    """Without the “of an” before a unit and the article behind a part."""
    said = list(words)
    while said and said[-1] in {"of", "a", "an", "-"} and len(said) > 1:
        said.pop()
    if len(said) > 1 and said[0] in {"a", "an"} and said[1] in NUMERALS - {"hundred", "thousand"}:
        said.pop(0)
    return said


def _decimal(said: list[str], text: str) -> Fraction:
    place = said.index("point")
    digits = [word for word in said[place + 1 :] if word != "-"]
    figures = [DIGITS.get(word, word if re.fullmatch("[0-9]", word) else "") for word in digits]
    if not digits or not all(figures) or len(digits) > 6:
        raise QuantityError(_("“%(text)s”: behind “point” each digit is said by itself", text=text))
    whole = _whole(said[:place], text) if place else Fraction(0)
    if whole.denominator != 1:
        raise QuantityError(_("“%(text)s” is two numbers, not one", text=text))
    return whole + Fraction(int("".join(figures)), 10 ** len(figures))


def _part_size(said: list[str]) -> tuple[int | None, list[str]]:
    """What the last word divides an inch into, and the words before it."""
    for length in (3, 2):
        tail = "-".join(word for word in said[-length:] if word != "-")
        if len(said) >= length and "-" in tail and tail in PARTS:
            return PARTS[tail], _bare(said[:-length])
    if said[-1] in PARTS:
        return PARTS[said[-1]], _bare(said[:-1])
    return None, said


def _bare(words: list[str]) -> list[str]:
    return words[:-1] if words and words[-1] == "-" else words


def _readings(counted: list[str], size: int) -> list[_Reading]:
    """Every way to cut words into a whole and a count of parts."""
    found = []
    for cut in range(len(counted) + 1):
        before, count = counted[:cut], counted[cut:]
        joins = bool(before) and before[-1] == "and"
        whole = _number(before[:-1] if joins else _bare(before)) if before else Fraction(0)
        part = _count(count)
        if whole is None or part is None or whole.denominator != 1 or not 0 < part < size:
            continue
        if before and not joins and ("-" in {counted[cut - 1], *count[:1]} or not count):
            continue
        found.append(_Reading(whole + part / size, joins or not before, bool(before)))
    return found


def _count(words: list[str]) -> Fraction | None:
    plain = words[1:] if words[:1] == ["-"] else words
    if not plain or plain in (["a"], ["an"]):
        return Fraction(1)
    found = _number(plain)
    return found if found is not None and found.denominator == 1 else None


def _improper(counted: list[str], size: int) -> set[Fraction]:
    count = _count(counted)
    return {count / size} if count is not None and count >= size else set()


def _whole(words: list[str], text: str) -> Fraction:
    found = _number(words)
    if found is None:
        loose = re.fullmatch(rf"(?P<whole>[0-9]+) (?:and|-) (?P<part>{NUMBER})", " ".join(words))
        if loose and "/" in loose["part"] and " " not in loose["part"]:
            return int(loose["whole"]) + read_number(loose["part"])
        raise QuantityError(_("“%(text)s” is two numbers, not one", text=text))
    return found


def _number(words: list[str]) -> Fraction | None:
    """A numeral of words or a number in figures; None where it is neither."""
    if len(words) == 1 and re.fullmatch(NUMBER, words[0]):
        return read_number(words[0])
    if words in (["a"], ["an"]):
        return Fraction(1)
    for one, other in pairwise(words):
        if "-" in {one, other} and not {one, other} & NUMERALS:
            return None
    found = whole_of([word for word in words if word != "-"])
    return None if found is None else Fraction(found)


def _unclear(text: str, meant: list[Fraction], run: _Run) -> QuantityError:
    unit = f" {run.rest.strip()}" if run.rest.strip() else ""
    if not meant:
        return QuantityError(_("“%(text)s” is no number that is called out", text=text))
    shown = tuple(f"{_figure(value)}{unit}" for value in meant)
    if len(shown) == 1:
        return QuantityError(_("“%(text)s”: say a whole number “and” a part of one", text=text), shown)
    return QuantityError(
        _("“%(text)s” could be more than one number; say “and” between whole and part", text=text), shown
    )

"""Reading a quantity from what a person wrote. What could be two things is refused, with both."""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import NoReturn

from shop.engineering.errors import QuantityError, UnitMissingError
from shop.engineering.quantities.characters import clean
from shop.engineering.quantities.figures import NUMBER, mixed_text, read_number
from shop.engineering.quantities.measures import UNITS, Dimension, Quantity
from shop.engineering.quantities.spellings import find_unit
from shop.engineering.quantities.spoken import written_out
from shop.engineering.words import say as _

_PIECE = re.compile(rf" ?(?P<number>{NUMBER})(?P<unit>[^0-9]*)")
_COMMA = re.compile(r"[0-9],[0-9]")
_LARGEST = 2**53  # so that every program that reads the record holds the integer exactly

# Units written one after another, largest first, with their size in the unit that the sum is kept in.
_FAMILIES: tuple[tuple[str, dict[str, Fraction]], ...] = (
    ("in", {"ft": Fraction(12), "in": Fraction(1)}),
    ("°", {"°": Fraction(1), "′": Fraction(1, 60), "″": Fraction(1, 3600)}),
    ("min", {"h": Fraction(60), "min": Fraction(1), "s": Fraction(1, 60)}),
    ("lb", {"lb": Fraction(1), "oz": Fraction(1, 16)}),
)
_ARC_WORDS = {
    **dict.fromkeys(("min", "mins", "minute", "minutes"), "′"),
    **dict.fromkeys(("sec", "secs", "second", "seconds"), "″"),
}
_ARC = {"′": Fraction(1, 60), "″": Fraction(1, 3600)}


@dataclass(frozen=True)
class _Piece:
    number: str
    unit: str
    value: Fraction


def parse_quantity(text: str, *, default_unit: str | None = None) -> Quantity:
    """Read one quantity, exactly.

    Args:
        text: as typed: 29 1/2 in, 1-5/8", 2' 3 1/2", 749.3 mm, 65 lbf·ft, −0° 45′, 2° 06′ 36″, 1 h 30 min,
            and as it is called out: twenty-nine and a half, 2 and 11 sixteenths.
        default_unit: what a bare number is in; it also says whether ' and " are feet and inches or
            minutes and seconds of arc.
    Returns: the quantity in the unit that was written (feet and inches in in, angles in °).
    Raises:
        QuantityError: for anything that is not one quantity, in the user's words, with what it could
            have meant in `.meant`.

    Valid for any string of up to 80 characters and for values below 2**53 canonical quanta.
    Source: HOUSE (nothing ambiguous is guessed); SI8 ch. 4 (60 minutes to the degree and the hour)
    """
    return _read(text, default_unit)


@lru_cache(maxsize=4096)
def _read(text: str, default_unit: str | None) -> Quantity:
    """Pages read the same limits and places over and over."""
    cleaned = written_out(clean(text))
    if _COMMA.search(cleaned):
        _refuse_comma(cleaned)
    sign, body = _signed(cleaned)
    pieces = _pieces(body, find_unit(default_unit) if default_unit else None)
    unit = pieces[0].unit
    total, unit = (pieces[0].value, unit) if len(pieces) == 1 else _chain(pieces)
    if unit in _ARC:
        total, unit = total * _ARC[unit], "°"
    quantity = Quantity(sign * total, unit)
    if abs(quantity.quanta) > _LARGEST:
        raise QuantityError(_("%(text)s is larger than anything that is measured here", text=cleaned))
    return quantity


def _signed(cleaned: str) -> tuple[int, str]:
    if cleaned[0] in "+-−–":
        return (1 if cleaned[0] == "+" else -1), cleaned[1:].strip()
    return 1, cleaned


def _pieces(body: str, default: str | None) -> list[_Piece]:
    """The numbers with their units, in the order written."""
    body = re.sub(r"(?<=[0-9])–(?=[0-9]+/)", "-", body)
    found, position = [], 0
    while position < len(body):
        match = _PIECE.match(body, position)
        if match is None:
            _refuse_shape(body)
        found.append((match["number"], match["unit"]))
        position = match.end()
    if not found:
        _refuse_shape(body)
    pieces: list[_Piece] = []
    for index, (number, unit) in enumerate(found):
        is_last = index == len(found) - 1
        name = _unit_of(unit, body, number, pieces, default, is_last=is_last)
        pieces.append(_Piece(number, name, read_number(number)))
    return pieces


def _unit_of(
    unit: str, body: str, number: str, before: list[_Piece], default: str | None, *, is_last: bool
) -> str:
    spelling = unit.strip()
    if not is_last:
        if unit.endswith("'-") or spelling == "ft-":
            spelling = spelling[:-1]
        if spelling in {"", "-", "−", "–", "+", "/"} or spelling[-1] in "-−–+./":
            _refuse_two_numbers(body)
    if is_last and set(spelling) & set("+-−–/=<>") and not re.search("[A-Za-z]", spelling):
        _refuse_shape(body)
    if not spelling:
        return _bare(body, number, before, default)
    is_arc = bool(before and before[0].unit in {"°", "′"}) or _is_angle(default)
    word = spelling.lower().rstrip(". ")
    if is_arc and (spelling in {"'", '"'} or word in _ARC_WORDS):
        if word in _ARC_WORDS and not before:
            mark = _ARC_WORDS[word]
            meant = (f"0° {number}′" if mark == "′" else f"0° 0′ {number}″", f"{number} {find_unit(word)}")
            raise QuantityError(_("“%(text)s” could be a part of a degree or a time", text=body), meant)
        return "′" if spelling == "'" else "″" if spelling == '"' else _ARC_WORDS[word]
    if spelling == "'" and is_last and not before and not _is_length(default):
        meant = (f"{number} ft", f"0° {number}′")
        raise QuantityError(_("“%(text)s” could be feet or minutes of arc", text=body), meant)
    return find_unit(spelling)


def _bare(body: str, number: str, before: list[_Piece], default: str | None) -> str:
    """The unit of a number that has none: the default, never after another number."""
    if before:
        ends = {"ft": '"', "°": "′", "′": "″", "h": " min", "min": " s", "lb": " oz"}
        end = ends.get(before[-1].unit)
        raise QuantityError(
            _("“%(text)s”: the last number has no unit", text=body), (f"{body}{end}",) if end else ()
        )
    if default is None:
        meant = (f"{body} in", f"{body} mm")
        raise UnitMissingError(_("“%(text)s” has no unit", text=body), meant)
    return default


def _is_angle(unit: str | None) -> bool:
    return unit is not None and UNITS[unit][0] == Dimension.ANGLE


def _is_length(unit: str | None) -> bool:
    return unit is not None and UNITS[unit][0] == Dimension.LENGTH


def _chain(pieces: list[_Piece]) -> tuple[Fraction, str]:
    """The sum of feet and inches, degrees and minutes, hours and minutes, pounds and ounces."""
    text = " ".join(f"{piece.number} {piece.unit}" for piece in pieces)
    kept, sizes = _family(pieces, text)
    for piece, above in zip(pieces[1:], pieces, strict=False):
        if not above.number.isdigit():
            raise QuantityError(_("“%(text)s”: only the last number may have a fraction", text=text))
        if piece.value * sizes[piece.unit] >= sizes[above.unit]:
            raise QuantityError(
                _(
                    "“%(text)s”: %(count)s %(unit)s make 1 %(above)s, so the number stays below that",
                    text=text,
                    count=sizes[above.unit] / sizes[piece.unit],
                    unit=piece.unit,
                    above=above.unit,
                )
            )
    return sum((piece.value * sizes[piece.unit] for piece in pieces), Fraction(0)), kept


def _family(pieces: list[_Piece], text: str) -> tuple[str, dict[str, Fraction]]:
    names = [piece.unit for piece in pieces]
    for kept, sizes in _FAMILIES:
        order = list(sizes)
        if names[0] in order and names == order[order.index(names[0]) :][: len(names)]:
            return kept, sizes
    raise QuantityError(_("“%(text)s” is more than one quantity", text=text))


def _refuse_comma(cleaned: str) -> NoReturn:
    if re.search(r"[0-9],[0-9]{3}(?![0-9])", cleaned):
        meant: tuple[str, ...] = (cleaned.replace(",", ""),)
        if "." not in cleaned and cleaned.count(",") == 1:
            meant = (cleaned.replace(",", "."), *meant)
    else:
        meant = (cleaned.replace(",", "."),)
    raise QuantityError(_("Write a decimal point, not a comma: “%(text)s”", text=cleaned), meant)


def _refuse_shape(body: str) -> NoReturn:
    if not re.search(r"[0-9]", body):
        raise QuantityError(_("There is no number in “%(text)s”", text=body))
    raise QuantityError(_("“%(text)s” is not one measurement", text=body))


def _refuse_two_numbers(body: str) -> NoReturn:
    loose = re.match(r"(?P<whole>[0-9]+) ?[-−–] ?(?P<part>[0-9]+/[0-9]+)(?P<unit>.*)$", body)
    meant: tuple[str, ...] = ()
    if loose and not loose["part"].endswith("/0"):
        less = int(loose["whole"]) - read_number(loose["part"])
        difference = f"{'−' if less < 0 else ''}{mixed_text(abs(less))}{loose['unit']}"
        meant = (f"{loose['whole']} {loose['part']}{loose['unit']}", difference)
    raise QuantityError(_("“%(text)s” is two numbers, not one", text=body), meant)

"""A sheet of the bench: what is asked, what comes out, with formula, source, range and caution."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from shop.bench.drawings import Drawing
from shop.engineering.errors import QuantityError
from shop.engineering.quantities.measures import Dimension, Quantity
from shop.engineering.quantities.reader import parse_quantity
from shop.engineering.quantities.writer import both
from shop.engineering.words import Words

MOST_CHARACTERS = 200
UNITS: Mapping[Dimension, str] = {
    Dimension.LENGTH: "in",
    Dimension.TORQUE: "lbf·ft",
    Dimension.ANGLE: "°",
}


@dataclass(frozen=True)
class Asked:
    """One field. With a `dimension` it takes a quantity, with `choices` one of them, else text or a number.

    `usual` stands in it when the sheet is opened.
    """

    name: str
    label: str
    dimension: Dimension | None = None
    choices: Sequence[tuple[str, str]] = ()
    is_number: bool = False
    usual: str = ""
    hint: str = ""
    may_be_empty: bool = False

    @property
    def unit(self) -> str:
        return UNITS[self.dimension] if self.dimension else ""


@dataclass(frozen=True)
class Figure:
    """One figure of an answer: the same in both systems where it has two."""

    label: str
    text: str
    also: str = ""


@dataclass(frozen=True)
class Answer:
    """What a sheet says: figures, a sentence, and what they rest on."""

    figures: tuple[Figure, ...]
    formula: str
    source: str
    valid: str
    sentence: str = ""
    cautions: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    drawing: Drawing | None = None


class FieldError(QuantityError):
    """What is wrong with one field."""

    def __init__(self, name: str, error: QuantityError) -> None:
        super().__init__(error.message, error.meant)
        self.name = name


@dataclass(frozen=True)
class Given:
    """What was typed, read field by field; a fault names its field."""

    sheet: "Sheet"
    typed: Mapping[str, str]

    def text(self, name: str) -> str:
        asked = self.sheet.find(name)
        text = self.typed.get(name, "").strip()
        if len(text) > MOST_CHARACTERS:
            raise FieldError(name, QuantityError(Words("This is too long to be one value", {})))
        if not text and not asked.may_be_empty:
            raise FieldError(name, QuantityError(Words("Say this too", {})))
        if asked.choices and text not in dict(asked.choices) and text:
            raise FieldError(name, QuantityError(Words("Choose one of the list", {})))
        return text

    def quantity(self, name: str) -> Quantity:
        asked, text = self.sheet.find(name), self.text(name)
        found: Quantity = self._read(
            name, lambda: _of_dimension(parse_quantity(text, default_unit=asked.unit), asked)
        )
        return found

    def inches(self, name: str) -> Fraction:
        return self.quantity(name).to("in").value

    def newton_metres(self, name: str) -> float:
        return float(self.quantity(name).to("N·m").value)

    def number(self, name: str) -> float:
        text = self.text(name).replace("−", "-")
        try:
            value = float(Fraction(text)) if len(text) < 20 else float("nan")
        except (ValueError, ZeroDivisionError, OverflowError):
            value = float("nan")
        if value != value:
            raise FieldError(name, QuantityError(Words("Enter a number, such as 12 or 0.5", {})))
        return value

    def whole(self, name: str) -> int:
        value = self.number(name)
        if value != int(value):
            raise FieldError(name, QuantityError(Words("Enter a whole number", {})))
        return int(value)

    def read(self, name: str, how: Callable[[str], Any]) -> Any:
        """The text of a field through one of the pure modules; its fault is the field's."""
        text = self.text(name)
        return self._read(name, lambda: how(text))

    def _read(self, name: str, how: Callable[[], Any]) -> Any:
        try:
            return how()
        except FieldError:
            raise
        except QuantityError as error:
            raise FieldError(name, error) from error


@dataclass(frozen=True)
class Sheet:
    """One computation, laid out to be typed into."""

    key: str
    title: str
    about: str
    asked: tuple[Asked, ...]
    work: Callable[[Given], Answer] = field(repr=False)

    def find(self, name: str) -> Asked:
        return next(asked for asked in self.asked if asked.name == name)

    @property
    def usual(self) -> dict[str, str]:
        return {asked.name: asked.usual for asked in self.asked}

    def answer(self, typed: Mapping[str, str]) -> Answer:
        """Work it out.

        Raises:
            QuantityError: something cannot be read or does not go together; a `FieldError` names its field.
        """
        return self.work(Given(self, typed))


def _of_dimension(q: Quantity, asked: Asked) -> Quantity:
    if q.dimension is not asked.dimension:
        raise QuantityError(
            Words("This is another kind of figure; it is asked in %(unit)s", {"unit": asked.unit})
        )
    return q


def said(words: Words | str) -> str:
    """What a pure module says, in the language of the page."""
    return words.translated(_) if isinstance(words, Words) else words


def shown(label: str, q: Quantity) -> Figure:
    """A quantity in both systems."""
    first, second = both(q)
    return Figure(label, first, second)


def plain(label: str, value: float, unit: str, *, places: int = 1) -> Figure:
    return Figure(label, f"{value:,.{places}f} {unit}".strip().replace("-", "−"))


def torque(label: str, newton_metres: float) -> Figure:
    """A torque in both systems, to a tenth."""
    pound_feet = newton_metres / 1.3558179483314004
    return Figure(label, f"{pound_feet:.1f} lbf·ft", f"{newton_metres:.1f} N·m")


def length(label: str, inches: Fraction) -> Figure:
    return shown(label, Quantity(inches, "in"))

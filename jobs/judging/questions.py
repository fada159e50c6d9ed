"""What is to be judged at a checkpoint, and what came of it."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.models import Checkpoint, Result, ResultVerdict
from shop.engineering.quantities import Quantity, QuantityError, parse_quantity
from shop.engineering.words import Words
from shop.models import Instrument, ShopSettings


@dataclass(frozen=True)
class Judged:
    """A reading with its verdict and all that the verdict stands on."""

    verdict: str
    explanation: str
    readings: dict[str, Any]
    decision: dict[str, Any] = field(default_factory=dict)
    instrument: Instrument | None = None
    angle_instrument: Instrument | None = None


@dataclass(frozen=True)
class Question:
    """What is to be judged."""

    checkpoint: Checkpoint
    payload: Mapping[str, Any]
    on: dt.date
    settings: ShopSettings
    witnessed: tuple[Checkpoint, Result] | None = None
    earlier: tuple[Result, ...] = ()
    layout: Mapping[str, Any] = field(default_factory=dict)

    @property
    def read(self) -> Checkpoint:
        """What is read: at a witness, what the first has read."""
        return self.witnessed[0] if self.witnessed else self.checkpoint

    def quantity(self, name: str, unit: str) -> Quantity:
        text = str(self.payload.get(name, ""))
        if not text.strip():
            raise BadInput({name: _("Enter what was read")})
        try:
            found = parse_quantity(text, default_unit=self.unit_of(name, unit))
            found.to(unit)
        except QuantityError as error:
            raise BadInput({name: said(error)}) from error
        return found

    def unit_of(self, name: str, unit: str) -> str:
        """The unit that stood beside the field: the reader's own, where the page offered it."""
        return str(self.payload.get(f"{name}_unit", "")).strip() or unit

    def kept(self, name: str, quantity: Quantity) -> dict[str, str]:
        """What is stored of a reading: as it was entered, and its exact value."""
        value = quantity.value
        return {
            "entered": str(self.payload.get(name, "")).strip(),
            "value": f"{value.numerator}/{value.denominator}",
            "unit": quantity.unit,
        }

    def says_yes(self, name: str) -> bool:
        return str(self.payload.get(name, "")) == "yes"


def said(error: QuantityError) -> str:
    """What the pure modules say of a fault, in the language of the page, with what could have been meant."""
    message = error.message.translated(_) if isinstance(error.message, Words) else str(error)
    if error.meant:
        message += " " + _("Meant: %(meant)s?") % {"meant": ", ".join(error.meant)}
    return message


def words(sentence: Words) -> str:
    return sentence.translated(_)


def read_back(kept: Mapping[str, str]) -> Quantity:
    """The exact quantity of a stored reading."""
    return Quantity(Fraction(kept["value"]), kept["unit"])


def worst(*verdicts: str) -> str:
    """The verdict of several together: all must conform."""
    for verdict in (ResultVerdict.DOES_NOT_CONFORM, ResultVerdict.TOO_CLOSE):
        if verdict in verdicts:
            return verdict
    return ResultVerdict.CONFORMS


def recorded(readings: dict[str, Any], instrument: Instrument | None) -> Judged:
    """What is recorded without a limit: it closes its checkpoint, and nothing is said of the work."""
    explanation = _("Recorded; there is no limit")
    decision = {"explanation": explanation, "rule": None, "is_judged": False}
    return Judged(ResultVerdict.CONFORMS, explanation, readings, decision, instrument)

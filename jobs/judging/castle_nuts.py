"""A castle nut at a checkpoint: from its least torque forward to the next slot, never back."""

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from jobs.bad_input import BadInput
from jobs.judging.questions import Question, said, words
from jobs.models import Checkpoint, ResultVerdict
from shop.engineering.decision.uncertainty import quantity_json
from shop.engineering.errors import QuantityError
from shop.engineering.joints.castle import castle_nut, castle_nut_by_torque
from shop.engineering.quantities.measures import Dimension, Quantity
from shop.engineering.quantities.reader import parse_quantity
from shop.engineering.quantities.writer import natural

FIELD = "slot"


@dataclass(frozen=True)
class Slot:
    """Where a castle nut went after its figure."""

    went: Quantity
    most: Quantity
    entered: dict[str, str]
    sentence: str

    @property
    def verdict(self) -> str:
        holds = self.went.to(self.most.unit).value <= self.most.value
        return ResultVerdict.CONFORMS if holds else ResultVerdict.DOES_NOT_CONFORM

    @property
    def readings(self) -> dict[str, Any]:
        return {FIELD: self.entered}

    def as_json(self) -> dict[str, Any]:
        return {
            "went": quantity_json(self.went),
            "most": quantity_json(self.most),
            "verdict": str(self.verdict),
            "sentence": self.sentence,
        }


def most_of(checkpoint: Checkpoint) -> Quantity | None:
    """How far a castle nut may go on: an angle, or the torque that it then has; None for another nut."""
    if not checkpoint.castle_nut:
        return None
    try:
        return parse_quantity(checkpoint.castle_nut)
    except QuantityError:
        return None


def slot_unit(checkpoint: Checkpoint) -> str:
    most = most_of(checkpoint)
    return most.unit if most else ""


def slot_words(checkpoint: Checkpoint) -> str:
    """What is to be done after the figure, for the tablet."""
    most = most_of(checkpoint)
    if most is None:
        return ""
    asked = {"most": natural(most)}
    if most.dimension is Dimension.ANGLE:
        return _("then forward to the next slot, at most %(most)s; never back") % asked
    return _("then forward to the next slot, at most to %(most)s; never back") % asked


def slot_of(question: Question) -> Slot | None:
    """What was done after the figure; None where there is no castle nut.

    Raises:
        BadInput: nothing was said, or the nut was turned back.
    """
    most = most_of(question.checkpoint)
    if most is None:
        return None
    went = question.quantity(FIELD, most.unit)
    try:
        if most.dimension is Dimension.ANGLE:
            degrees, allowed = (float(q.to("°").value) for q in (went, most))
            told = castle_nut(degrees, turned_max_deg=allowed)
        else:
            figure = question.quantity("value", most.unit)
            told = castle_nut_by_torque(*(float(q.to("N·m").value) for q in (figure, went, most)))
    except QuantityError as error:
        raise BadInput({FIELD: said(error)}) from error
    return Slot(went, most, question.kept(FIELD, went), f"{words(told)}.")

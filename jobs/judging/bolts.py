"""What a torque means for the bolt of its joint. Explanation and warning; the figure is the kit maker's."""

import math
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from jobs.judging.questions import words
from jobs.models import Checkpoint
from shop.engineering.errors import QuantityError
from shop.engineering.joints.grades import Strength, strength_of
from shop.engineering.joints.stiffness import (
    STEEL_MPA,
    Turned,
    after_turning,
    bolt_stiffness,
    member_stiffness,
)
from shop.engineering.joints.threads import Thread, parse_thread
from shop.engineering.joints.tightening import Clamp, Finish, clamp_load, finish_of, lubricant_warning
from shop.engineering.quantities.measures import Quantity
from shop.engineering.quantities.reader import parse_quantity


@dataclass(frozen=True)
class Bolt:
    """The bolt of a joint, as the procedure states it."""

    thread: Thread
    strength: Strength
    grade: str
    finish: Finish
    grip_mm: float | None

    @classmethod
    def of(cls, checkpoint: Checkpoint) -> "Bolt | None":
        """The bolt of a checkpoint; None where the procedure does not state it, or the tables lack it."""
        if not (checkpoint.thread and checkpoint.grade):
            return None
        try:
            thread = parse_thread(checkpoint.thread)
            strength = strength_of(checkpoint.grade, thread)
            grip = float(parse_quantity(checkpoint.grip).to("mm").value) if checkpoint.grip else None
        except QuantityError:
            return None
        return cls(thread, strength, checkpoint.grade, finish_of(checkpoint.lubricant), grip)

    def clamp(self, torque: Quantity) -> Clamp:
        return clamp_load(float(torque.to("N·m").value), self.thread, self.strength, self.finish)

    def turned(self, torque: Quantity, angle: Quantity) -> Turned | None:
        """What the turn after the torque does; None without a grip, on which it hangs."""
        if self.grip_mm is None:
            return None
        half, size = self.grip_mm / 2, float(self.thread.major_mm)
        shank = math.pi / 4 * size**2
        return after_turning(
            self.clamp(torque),
            self.thread,
            self.strength,
            float(angle.to("°").value),
            bolt=bolt_stiffness(shank, half, self.thread.stress_area_mm2, half, STEEL_MPA),
            members=member_stiffness(STEEL_MPA, size, self.grip_mm),
        )

    def __str__(self) -> str:
        return _("%(thread)s, %(grade)s, %(finish)s") % {
            "thread": self.thread,
            "grade": self.grade,
            "finish": self.finish.value,
        }


def meaning_of(checkpoint: Checkpoint, torque: Quantity, angle: Quantity | None = None) -> dict[str, Any]:
    """What a torque, and a turn after it, mean for the bolt: a sentence with its inputs and source.

    Returns: plain data to be kept with the decision; empty where the bolt is not stated.
    """
    bolt = Bolt.of(checkpoint)
    if bolt is None or torque.value <= 0:
        return {}
    clamp = bolt.clamp(torque)
    turned = bolt.turned(torque, angle) if angle is not None else None
    return {
        "sentence": words(turned.sentence if turned else clamp.sentence),
        "bolt": str(bolt),
        "clamp_n": [round(clamp.low_n), round(clamp.high_n)],
        "proof_n": round(clamp.proof_n),
        "source": f"T = K D F; K: {clamp.source}; {bolt.strength.source}",
    }


def wrong_lubricant(checkpoint: Checkpoint, used: str) -> str:
    """Why the joint must not be tightened with what is on it; empty where it is the kind that was asked."""
    warning = lubricant_warning(checkpoint.lubricant, used)
    return words(warning) if warning else ""

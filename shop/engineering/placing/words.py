"""Where a part stands, in shop words: rounded to what the readings support, and how to move it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from shop.engineering.placing.fit import Fit
from shop.engineering.placing.readings import Frame
from shop.engineering.quantities.measures import Quantity
from shop.engineering.quantities.writer import System, natural
from shop.engineering.words import Words, say
from shop.engineering.words import gettext_noop as noop

GUARD: Final = 1.645
STEPS: Final = {
    "inch": tuple(Fraction(1, n) for n in (32, 16, 8, 4, 2, 1)),
    "metric": tuple(Fraction(n, 2) for n in (1, 2, 4, 10, 20)),
}
UNIT: Final = {"inch": "in", "metric": "mm"}
AHEAD, LEFT, UP, ROLL, PITCH, YAW = range(6)


_STANDS: Final = {
    "forward": (noop("the whole of it %(a)s forward"), noop("move it %(a)s back")),
    "back": (noop("the whole of it %(a)s back"), noop("move it %(a)s forward")),
    "left": (noop("the whole of it %(a)s to the left"), noop("move it %(a)s to the right")),
    "right": (noop("the whole of it %(a)s to the right"), noop("move it %(a)s to the left")),
    "up": (noop("the whole of it %(a)s high"), noop("let it down %(a)s")),
    "down": (noop("the whole of it %(a)s low"), noop("lift it %(a)s")),
    "l fwd": (
        noop("left side %(a)s forward of the right"),
        noop("turn it: left side back, right side forward, %(a)s apart"),
    ),
    "r fwd": (
        noop("right side %(a)s forward of the left"),
        noop("turn it: right side back, left side forward, %(a)s apart"),
    ),
    "left up": (noop("left side %(a)s up"), noop("lower the left side %(a)s against the right")),
    "right up": (noop("right side %(a)s up"), noop("lower the right side %(a)s against the left")),
    "rear up": (noop("rear %(a)s up"), noop("lower the rear %(a)s against the front")),
    "front up": (noop("front %(a)s up"), noop("lower the front %(a)s against the rear")),
    "left rear up": (noop("left rear %(a)s up"), noop("lower the left rear %(a)s against the right front")),
    "left front up": (noop("left front %(a)s up"), noop("lower the left front %(a)s against the right rear")),
    "right rear up": (noop("right rear %(a)s up"), noop("lower the right rear %(a)s against the left front")),
    "right front up": (
        noop("right front %(a)s up"),
        noop("lower the right front %(a)s against the left rear"),
    ),
}


@dataclass(frozen=True)
class Movement:
    """How far a part is from where it should be, or from where it was.

    Attributes:
        amounts: ahead, left, up, roll, pitch, yaw; mm, the turns at the part's reach.
        covariance: of these, mm².
        free: directions that nothing pins.
    """

    frame: Frame
    amounts: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    free: tuple[tuple[float, ...], ...]

    def along(self, way: Sequence[float]) -> tuple[float, float]:
        """Amount and standard uncertainty along a combination of the six; infinite where it is free."""
        amount = sum(a * b for a, b in zip(self.amounts, way, strict=True))
        if any(abs(sum(a * b for a, b in zip(way, f, strict=True))) > 1e-6 for f in self.free):
            return amount, math.inf
        rows = (sum(c * b for c, b in zip(row, way, strict=True)) for row in self.covariance)
        return amount, math.sqrt(max(0.0, sum(a * b for a, b in zip(way, rows, strict=True))))


@dataclass(frozen=True)
class Said:
    """One thing to say of where a part stands.

    Attributes:
        amount_mm: how far, above nothing.
        uncertainty_mm: standard.
        stands: how it stands.
        move: what brings it back.
    """

    amount_mm: float
    uncertainty_mm: float
    stands: Words
    move: Words


def movement_of(fit: Fit) -> Movement:
    """How far a part is from where it should be.

    Args:
        fit: of what was read.
    Returns: the movement.

    Valid for every fit. Source: HOUSE (the fit's own figures)
    """
    return Movement(fit.frame, fit.movement, fit.covariance, fit.free)


def say_movement(movement: Movement, *, system: System = "inch") -> tuple[Said, ...]:
    """What can be said of a movement, the largest first.

    Args:
        movement: of the part.
        system: "inch" or "metric".
    Returns: one sentence for each part of it that the readings prove at 95 %; nothing where it stands right
        as far as they can tell.

    Valid for turns of a few degrees; a turn is said as the difference across the part's own width or length.
    Source: HOUSE (rounded to the first step of the tape that is no finer than the standard uncertainty)
    """
    found = [
        _one(movement, _unit(AHEAD), system, (_STANDS["forward"], _STANDS["back"])),
        _one(movement, _unit(LEFT), system, (_STANDS["left"], _STANDS["right"])),
        _one(movement, _unit(YAW, -_width(movement.frame)), system, (_STANDS["l fwd"], _STANDS["r fwd"])),
    ]
    if not movement.frame.is_flat:
        found.append(_one(movement, _unit(UP), system, (_STANDS["up"], _STANDS["down"])))
        found += _tilts(movement, system)
    return tuple(sorted((s for s in found if s), key=lambda s: -s.amount_mm))


def amount_text(amount_mm: float, uncertainty_mm: float, *, system: System = "inch") -> str:
    """A length rounded to what its uncertainty supports.

    Args:
        amount_mm: above nothing.
        uncertainty_mm: standard.
        system: "inch" or "metric".
    Returns: 3/32 in, or 2.5 mm; empty where it rounds to nothing.

    Valid for lengths that were worked out of readings.
    Source: HOUSE (first step no finer than the uncertainty)
    """
    per_mm = Fraction(5, 127) if system == "inch" else Fraction(1)
    value, unsure = Fraction(amount_mm) * per_mm, uncertainty_mm * float(per_mm)
    steps = STEPS[system]
    step = next((s for s in steps if s >= unsure), steps[-1])
    count = math.floor(value / step + Fraction(1, 2))
    return natural(Quantity(count * step, UNIT[system])) if count else ""


def _tilts(movement: Movement, system: System) -> list[Said | None]:
    """One side up, one end up; where both are proved, the corner that is up against the one opposite."""
    roll, pitch = _unit(ROLL, _width(movement.frame)), _unit(PITCH, _length(movement.frame))
    sides = _one(movement, roll, system, (_STANDS["left up"], _STANDS["right up"]))
    ends = _one(movement, pitch, system, (_STANDS["rear up"], _STANDS["front up"]))
    if sides is None or ends is None:
        return [sides, ends]
    left, rear = movement.amounts[ROLL] > 0, movement.amounts[PITCH] > 0
    name = f"{'left' if left else 'right'} {'rear' if rear else 'front'} up"
    way = [(1 if left else -1) * r + (1 if rear else -1) * p for r, p in zip(roll, pitch, strict=True)]
    return [_one(movement, way, system, (_STANDS[name], _STANDS[name]))]


def _one(
    movement: Movement, way: Sequence[float], system: System, words: tuple[tuple[str, str], tuple[str, str]]
) -> Said | None:
    if not any(way):
        return None
    amount, unsure = movement.along(way)
    if math.isinf(unsure) or abs(amount) <= GUARD * unsure:
        return None
    text = amount_text(abs(amount), unsure, system=system)
    if not text:
        return None
    stands, move = words[0] if amount > 0 else words[1]
    return Said(abs(amount), unsure, say(stands, a=text), say(move, a=text))


def _unit(axis: int, size: float = 1.0) -> list[float]:
    way = [0.0] * 6
    way[axis] = size
    return way


def _width(frame: Frame) -> float:
    """Of the part's points across the car, in reaches."""
    across = [p[1] for p in frame.points.values()]
    return (max(across) - min(across)) / frame.reach


def _length(frame: Frame) -> float:
    along = [p[0] for p in frame.points.values()]
    return (max(along) - min(along)) / frame.reach

"""How to open a hole: pilot, steps, saw, with what the shop owns; each wall of a rail has its own."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from shop.engineering.errors import QuantityError
from shop.engineering.holes.drills import MM, Drill, smallest_not_below
from shop.engineering.holes.spindle import Tool, Work, cutting_speed, hole_saw_rpm, rpm
from shop.engineering.quantities.figures import mixed_text
from shop.engineering.words import Words
from shop.engineering.words import say as _

PILOT_IN: Final = Fraction(1, 4)
LARGEST_BY_HAND_IN: Final = Fraction(1, 2)
STEP_IN: Final = Fraction(3, 16)
ON_SIZE_IN: Final = Fraction(1, 64)


@dataclass(frozen=True)
class Step:
    """One tool through one or both walls.

    Attributes:
        tool: drill or saw.
        diameter_in: inches.
        rpm: turns a minute, at most.
        words: what to do.
    """

    tool: Tool
    diameter_in: Fraction
    rpm: int
    words: Words


@dataclass(frozen=True)
class Wall:
    """What a wall of a rail gets: inner, outer, top or bottom, its hole in inches."""

    name: str
    hole_in: Fraction


def plan_hole(
    hole_in: Fraction, *, drills: Sequence[Drill], saws_in: Sequence[Fraction], work: Work = Work.MILD_STEEL
) -> tuple[Step, ...]:
    """The steps from nothing to a hole of a size.

    Args:
        hole_in: the diameter that is asked, inches.
        drills: twist drills at hand.
        saws_in: hole saws at hand, inches.
        work: what is drilled.
    Returns: pilot first; a hole to 1/2 in by drills in steps, a larger one by a saw on the pilot.
    Raises:
        QuantityError: no tool at hand makes it within 1/64 in above; the next larger at hand is named.

    Valid for holes from 1/16 to 2 1/2 in in sheet and rails.
    Source: HOUSE (common practice, no source, speeds in `spindle`)
    """
    if not Fraction(1, 16) <= hole_in <= Fraction(5, 2):
        raise QuantityError(_("A hole is asked from 1/16 to 2 1/2 in"))
    if hole_in > LARGEST_BY_HAND_IN:
        return _by_saw(hole_in, tuple(drills), saws_in, work)
    last = smallest_not_below(hole_in, tuple(drills))
    _require_near(last.diameter_in, hole_in, last.name)
    return tuple(_drilled(size, drills, work, last=size == last) for size in _growing(last, tuple(drills)))


def plan_walls(
    walls: Sequence[Wall],
    *,
    drills: Sequence[Drill],
    saws_in: Sequence[Fraction],
    work: Work = Work.MILD_STEEL,
) -> dict[str, tuple[Step, ...]]:
    """The steps for each wall of a rail: the pilot through all of them, then each to its own size.

    Args:
        drills: twist drills at hand.
        saws_in: hole saws at hand, inches.
        work: what is cut.
        walls: with names and holes; others as `plan_hole`.
    Returns: the steps by the wall's name, the one pilot first in each.
    Raises:
        QuantityError: as `plan_hole`, or two walls of one name.

    Valid for rails. Source: HOUSE (common practice, no source)
    """
    if len({wall.name for wall in walls}) != len(walls):
        raise QuantityError(_("Two walls have one name"))
    return {wall.name: plan_hole(wall.hole_in, drills=drills, saws_in=saws_in, work=work) for wall in walls}


def _by_saw(
    hole_in: Fraction, drills: tuple[Drill, ...], saws_in: Sequence[Fraction], work: Work
) -> tuple[Step, ...]:
    fitting = [size for size in saws_in if size >= hole_in]
    if not fitting:
        raise QuantityError(_("No hole saw at hand makes %(size)s in", size=_name(hole_in)))
    saw = min(fitting)
    _require_near(saw, hole_in, _("hole saw %(size)s in", size=_name(saw)))
    pilot = smallest_not_below(PILOT_IN, drills)
    turns = hole_saw_rpm(max(saw, Fraction(1, 2)), work)
    sawn = Step(
        Tool.HOLE_SAW,
        saw,
        turns,
        _("Hole saw %(size)s in on the pilot, square to the wall; oil; let the teeth clear", size=_name(saw)),
    )
    return _drilled(pilot, drills, work, last=False), sawn


def _growing(last: Drill, drills: tuple[Drill, ...]) -> list[Drill]:
    """From a pilot to the last drill in steps of at most 3/16 in."""
    if last.diameter_in <= PILOT_IN:
        return [last]
    sizes = [smallest_not_below(Fraction(1, 8), drills)]
    while last.diameter_in - sizes[-1].diameter_in > STEP_IN:
        within = [
            d for d in drills if sizes[-1].diameter_in < d.diameter_in <= sizes[-1].diameter_in + STEP_IN
        ]
        if not within:
            break
        sizes.append(max(within))
    return [size for size in sizes if size < last] + [last]


def _drilled(drill: Drill, drills: Sequence[Drill], work: Work, *, last: bool) -> Step:
    speed = cutting_speed(work)
    turns = int(rpm(speed.hand_high_ft_min, float(drill.diameter_in)) // 10 * 10)
    if last and len(drills) == 1:
        words = _("Drill %(name)s through", name=drill.name)
    elif last:
        words = _(
            "Open to size with drill %(name)s, slow at the breakthrough; deburr both sides", name=drill.name
        )
    else:
        words = _("Drill %(name)s through on the centre punch", name=drill.name)
    return Step(Tool.HSS_DRILL, drill.diameter_in, turns, words)


def _require_near(found_in: Fraction, wanted_in: Fraction, name: str) -> None:
    if found_in - wanted_in > ON_SIZE_IN:
        raise QuantityError(
            _(
                "Nothing at hand makes %(size)s in; the next larger is %(name)s. "
                "Get the tool, or ask the lead for a deviation",
                size=_name(wanted_in),
                name=name,
            )
        )


def _name(size_in: Fraction) -> str:
    """In the rule's fractions where it is one, else in decimals with millimetres."""
    if size_in.denominator in {1, 2, 4, 8, 16, 32, 64}:
        return mixed_text(size_in)
    return f"{float(size_in):.3f} ({float(size_in / MM):.1f} mm)"

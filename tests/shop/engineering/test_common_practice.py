"""Figures usual in the trade. Common practice, no source: they check the way, not a standard."""

from fractions import Fraction

import pytest

from shop.engineering.decision import ISO_14253_95
from shop.engineering.decision.pairs import decide_pair
from shop.engineering.decision.thresholds import Verdict
from shop.engineering.holes.drills import FRACTIONAL, saw_sizes_in
from shop.engineering.holes.floating import Goes, floating_pin
from shop.engineering.holes.plan import Wall, plan_walls
from shop.engineering.holes.spindle import Tool
from shop.engineering.joints.grades import strength_of
from shop.engineering.joints.threads import parse_thread
from shop.engineering.joints.tightening import Finish, clamp_load
from shop.engineering.joints.wrenches import Wrench, fit_for
from shop.engineering.limits import parse_limits
from shop.engineering.quantities import parse_quantity
from tests.shop.engineering.instruments import TAPE

LBF_FT_NM = Fraction("1.3558179483314004")
WRENCHES = [
    Wrench("small", Fraction(5), Fraction(25), Fraction("0.1"), is_in_calibration=True),
    Wrench("middle", Fraction(20), Fraction(100), Fraction("0.5"), is_in_calibration=True),
    Wrench("large", Fraction(40), Fraction(200), Fraction(1), is_in_calibration=True),
]


@pytest.mark.parametrize(("said", "inches"), [
    ("29 and a half", "59/2"), ("one and one-eighth", "9/8"), ("2 and 11 sixteenths", "43/16"),
])  # fmt: skip
def test_readings_of_a_tape_as_they_are_called_out(said: str, inches: str) -> None:
    assert parse_quantity(said, default_unit="in").value == Fraction(inches)


def test_sleeves_float_in_their_holes_each_wall_with_its_own_saw() -> None:
    """1 1/8 and 1 5/8 in by hole saw after a 1/4 in pilot, for sleeves that must float and not bind."""
    holes = {"one": Fraction(9, 8), "other": Fraction(13, 8)}
    walls = [Wall(name, size) for name, size in holes.items()]
    for name, steps in plan_walls(walls, drills=FRACTIONAL, saws_in=saw_sizes_in()).items():
        pilot, saw = steps
        assert (pilot.tool, pilot.diameter_in) == (Tool.HSS_DRILL, Fraction(1, 4))
        assert (saw.tool, saw.diameter_in) == (Tool.HOLE_SAW, holes[name])
        sleeve, unsure = holes[name] - Fraction(1, 8), Fraction(1, 64)
        made = (saw.diameter_in, saw.diameter_in)
        assert floating_pin(sleeve, made, Fraction(1, 16), uncertain_in=unsure).goes is Goes.FLOATS
        assert floating_pin(sleeve, made, Fraction(3, 16), uncertain_in=unsure).goes is Goes.BINDS


@pytest.mark.parametrize(("figure", "wrench"), [
    (65, "middle"), (35, "middle"), (14, "small"), (40, "middle"), (20, "middle"),
])  # fmt: skip
def test_each_figure_finds_a_wrench_and_leaves_its_bolt_below_yield(figure: int, wrench: str) -> None:
    """Joints at 65, 35 and 14 lbf·ft, one at 40 lbf·ft, one at 20 lbf·ft before its half turn."""
    newton_metres = figure * LBF_FT_NM
    assert fit_for(WRENCHES, newton_metres)[0].code == wrench
    bolt = parse_thread("1/2-13" if figure > 14 else "3/8-16")
    clamp = clamp_load(float(newton_metres), bolt, strength_of("8", bolt), Finish.ZINC_DRY)
    assert clamp.low_n < clamp.high_n < clamp.yield_n


@pytest.mark.parametrize(
    ("left", "right", "verdict"),
    [("2 11/16", "2 11/16", Verdict.CONFORMS), ("2 11/16", "2 23/32", Verdict.CONFORMS),
     ("2 11/16", "3", Verdict.DOES_NOT_CONFORM), ("2 11/16", "2 27/32", Verdict.TOO_CLOSE)],
)  # fmt: skip
def test_equal_stick_out_on_both_sides(left: str, right: str, verdict: Verdict) -> None:
    """About 2 11/16 in, the same on both sides; the difference has the larger uncertainty of two readings."""
    sides = [parse_quantity(text, default_unit="in") for text in (left, right)]
    found = decide_pair(
        parse_limits("2 11/16 ±1/4 in"), parse_limits("≤ 5/32 in"), TAPE, sides[0], sides[1], ISO_14253_95
    )
    assert found.difference is not None
    assert found.difference.verdict is verdict


@pytest.mark.parametrize(("showing", "verdict"), [
    ("1", Verdict.CONFORMS), ("1 1/8", Verdict.CONFORMS), ("1 9/16", Verdict.DOES_NOT_CONFORM),
])  # fmt: skip
def test_about_an_inch_of_thread_showing_on_both_sides(showing: str, verdict: Verdict) -> None:
    read = parse_quantity(showing, default_unit="in")
    assert decide_pair(parse_limits("3/4…1 1/4 in"), None, TAPE, read, read, ISO_14253_95).verdict is verdict

"""Planning holes and judging them: whether a sleeve goes in, how to open a hole, what to set."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import QuantityError
from shop.engineering.holes.drills import FRACTIONAL, find_drill, saw_sizes_in
from shop.engineering.holes.floating import Goes, fixed_pin, floating_pin, position_tolerance
from shop.engineering.holes.machines import set_on_machine
from shop.engineering.holes.plan import Wall, plan_hole, plan_walls
from shop.engineering.holes.spindle import Tool, Work, hole_saw_rpm, rpm, surface_speed_ft_min

SIXTY_FOURTHS = st.integers(1, 160).map(lambda n: Fraction(n, 64))
SAWS = saw_sizes_in()
TAPE = Fraction(1, 128)


def test_a_sleeve_floats_in_a_hole_that_leaves_it_room() -> None:
    passage = floating_pin(Fraction(1), (Fraction(9, 8), Fraction(9, 8)), Fraction(3, 32), uncertain_in=TAPE)
    assert passage.goes is Goes.FLOATS
    assert passage.sentence == "floats by 1/32 in"


def test_a_sleeve_binds_where_the_walls_are_further_apart_than_its_room() -> None:
    passage = floating_pin(Fraction(1), (Fraction(9, 8), Fraction(9, 8)), Fraction(3, 16), uncertain_in=TAPE)
    assert passage.goes is Goes.BINDS
    assert passage.sentence == "binds: 1/16 in is missing"


def test_what_the_readings_cannot_tell_is_said_so() -> None:
    passage = fixed_pin(Fraction(1), Fraction(9, 8), Fraction(1, 16), uncertain_in=TAPE)
    assert passage.goes is Goes.TIGHT
    assert "too close to call" in passage.sentence


@given(SIXTY_FOURTHS, SIXTY_FOURTHS)
def test_a_hole_made_for_a_tolerance_takes_the_pin_at_its_worst(pin: Fraction, room: Fraction) -> None:
    """ASME Y14.5: at the full position tolerance of both parts nothing is left, and nothing is missing."""
    hole = pin + room
    floating = position_tolerance(pin, hole, fixed=False)
    assert floating_pin(pin, (hole, hole), floating, uncertain_in=Fraction(0)).play_in == 0
    fixed = position_tolerance(pin, hole, fixed=True)
    assert fixed_pin(pin, hole, fixed, uncertain_in=Fraction(0)).play_in == 0


@given(SIXTY_FOURTHS, SIXTY_FOURTHS, SIXTY_FOURTHS, SIXTY_FOURTHS)
def test_more_offset_never_gives_more_play(
    pin: Fraction, hole: Fraction, one: Fraction, other: Fraction
) -> None:
    near, far = sorted((one, other))
    plays = [floating_pin(pin, (hole, hole), o, uncertain_in=TAPE).play_in for o in (near, far)]
    assert plays[0] >= plays[1]


@pytest.mark.parametrize("size", ["1 1/8", "1 5/8"])
def test_a_hole_for_a_sleeve_is_sawn_on_a_quarter_inch_pilot(size: str) -> None:
    """Common practice, no source: 1 1/8 and 1 5/8 in by hole saw after a 1/4 in pilot."""
    whole, part = size.split()
    pilot, saw = plan_hole(int(whole) + Fraction(part), drills=FRACTIONAL, saws_in=SAWS)
    assert (pilot.tool, pilot.diameter_in) == (Tool.HSS_DRILL, Fraction(1, 4))
    assert (saw.tool, saw.diameter_in) == (Tool.HOLE_SAW, int(whole) + Fraction(part))


def test_each_wall_of_a_rail_gets_its_own_size() -> None:
    walls = (Wall("inner", Fraction(13, 8)), Wall("outer", Fraction(9, 8)))
    plan = plan_walls(walls, drills=FRACTIONAL, saws_in=SAWS)
    assert [plan[wall.name][-1].diameter_in for wall in walls] == [Fraction(13, 8), Fraction(9, 8)]
    with pytest.raises(QuantityError, match="one name"):
        plan_walls((walls[0], walls[0]), drills=FRACTIONAL, saws_in=SAWS)


@given(SIXTY_FOURTHS.filter(lambda size: Fraction(1, 16) <= size <= Fraction(1, 2)))
def test_steps_grow_and_end_on_size(size: Fraction) -> None:
    steps = [step.diameter_in for step in plan_hole(size, drills=FRACTIONAL, saws_in=())]
    assert steps == sorted(set(steps))
    assert 0 <= steps[-1] - size <= Fraction(1, 64)


def test_a_size_that_no_tool_makes_names_the_next_larger() -> None:
    with pytest.raises(QuantityError, match="hole saw 1 1/2"):
        plan_hole(Fraction(11, 8), drills=FRACTIONAL, saws_in=(Fraction(3, 2),))


@given(st.floats(1, 1000), st.floats(0.01, 5))
def test_speed_and_turns_are_inverse(speed: float, size: float) -> None:
    assert surface_speed_ft_min(rpm(speed, size), size) == pytest.approx(speed)


@given(st.floats(1, 5000), st.lists(st.integers(1, 4000), min_size=1, max_size=8))
def test_a_machine_is_never_set_faster_than_wanted_unless_it_says_so(
    wanted: float, speeds: list[int]
) -> None:
    setting = set_on_machine(wanted, speeds)
    assert setting.set_rpm in speeds
    assert setting.is_too_fast == (setting.set_rpm > wanted)


@pytest.mark.parametrize("size", [Fraction(0), Fraction(3), Fraction(-1)])
def test_a_size_that_cannot_be_is_refused(size: Fraction) -> None:
    with pytest.raises(QuantityError):
        hole_saw_rpm(size, Work.MILD_STEEL)
    with pytest.raises(QuantityError):
        plan_hole(size, drills=FRACTIONAL, saws_in=SAWS)


@pytest.mark.parametrize(
    ("text", "name"), [("No. 7", "#7"), ("17/64 in", "17/64"), ("f", "F"), ("6.8 mm", "6.8 mm")]
)
def test_a_drill_is_found_as_people_write_it(text: str, name: str) -> None:
    assert find_drill(text).name == name


def test_what_is_no_drill_is_told() -> None:
    with pytest.raises(QuantityError, match="is no stock drill"):
        find_drill("banana")

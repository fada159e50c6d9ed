"""Holes planned with what the shop owns; whether the sleeve goes in as they were drilled."""

from types import SimpleNamespace
from typing import Any

import pytest

from jobs.judging.holes import HoleCard, holes_of
from jobs.models import Operation
from jobs.standing import OperationStanding
from shop.models import Tool
from tests.jobs.small_route import SmallRoute, assert_accepted

HOLE = {
    "name": "Sleeve holes",
    "size": "1 1/8 in",
    "walls": [
        {"name": "outer", "thickness": "0.12 in"},
        {"name": "inner", "size": "1 in", "work": "aluminium"},
    ],
    "takes": "sleeve",
    "takes_size": "1 1/16 in",
    "edge": "2 in",
}
TOOLS = (
    {"code": "DR-1", "kind": "drill", "size": "1/4"},
    {"code": "HS-1", "kind": "hole_saw", "size": "1 in"},
    {"code": "HS-2", "kind": "hole_saw", "size": "1 1/8 in"},
    {"code": "DP-1", "name": "Press", "kind": "machine", "speeds": "180, 270, 420"},
    {"code": "MD-1", "name": "Drill", "kind": "machine", "speeds": "500, 1000"},
)


def card(route: SmallRoute, hole: dict[str, Any], *tools: dict[str, str]) -> HoleCard:
    for tool in tools:
        Tool.objects.create(**tool)
    operation = OperationStanding(SimpleNamespace(), Operation(holes=[hole]), ())  # type: ignore[arg-type]
    (found,) = holes_of(route.record, operation)
    return found


def test_each_wall_has_its_steps_at_a_speed_that_the_machine_has(route: SmallRoute) -> None:
    """1 1/8 in in steel wants 300 a minute: the press has 270. In aluminium more is right."""
    found = card(route, HOLE, *TOOLS)
    outer, inner = found.walls
    assert [step.tool for step in outer.steps] == ["DR-1", "HS-2"]
    assert "Set 270" in outer.steps[1].turns[0].sentence
    assert outer.steps[1].turns[0].machine == "DP-1 Press"
    assert [step.tool for step in inner.steps] == ["DR-1", "HS-1"]
    assert "Set 500" in inner.steps[1].turns[0].sentence
    assert "oil" in outer.steps[1].coolant
    assert "breaks wrists" in found.cautions[0]
    assert "floats by 1/16 in" in found.passage
    assert "1.78 diameters" in found.edge


def test_cobalt_is_said_to_turn_as_fast_with_the_reason(route: SmallRoute) -> None:
    found = card(route, HOLE, {**TOOLS[0], "material": "cobalt"}, *TOOLS[1:])
    assert found.walls[0].steps[0].tool == "DR-1, cobalt steel"
    assert "as fast as high-speed steel" in found.notes[0]
    assert "at up to 100 ft/min: Machinery's Handbook" in found.walls[0].inputs
    assert found.size_also == "28.6 mm"


def test_a_tool_that_the_shop_does_not_own_is_said_so(route: SmallRoute) -> None:
    found = card(route, HOLE, *TOOLS[:2])
    assert found.walls[0].fault == "No hole saw at hand makes 1 1/8 in"
    assert found.walls[1].steps[0].turns[0].sentence.startswith("at most")
    assert "No drill at hand" in card(route, {"name": "Pilot", "size": "1/2 in"}).walls[0].fault


@pytest.mark.parametrize(
    ("takes", "code", "said"),
    [
        ("29 3/8 in", "conforms", "floats by"),
        ("29 17/32 in", "too_close", "too close to call"),
        ("29 3/4 in", "does_not_conform", "binds"),
    ],
)
def test_a_sleeve_is_tried_in_the_hole_as_it_was_drilled(
    route: SmallRoute, takes: str, code: str, said: str
) -> None:
    """The length that is read at C20.2 stands in for a hole here; the tape knows it to about 1/16 in."""
    route.up_to("C20")
    assert_accepted(route.send("start", "C20", "fenn"))
    assert_accepted(route.read("C20.1"))
    assert_accepted(route.read("C20.2", value="29 1/2"))
    hole = {"name": "Hole", "size": "30 in", "takes": "sleeve", "takes_size": takes, "measured": "C20.2"}
    found = card(route, hole)
    assert found.passage_code == code
    assert said in found.passage

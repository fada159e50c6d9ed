"""Each computation at the tablet takes less than a blink, and nothing heavy is loaded for it."""

import os
import subprocess
import sys
from collections.abc import Callable
from fractions import Fraction
from functools import partial
from typing import Any

import pytest

from shop.bench.index import parts
from shop.engineering.decision import ISO_14253_95, decide
from shop.engineering.decision.capability import can_prove
from shop.engineering.decision.pairs import decide_pair
from shop.engineering.decision.repeated import Reading, decide_repeated
from shop.engineering.holes.clearance import tap_drill
from shop.engineering.holes.drills import INCH
from shop.engineering.holes.floating import floating_pin
from shop.engineering.holes.machines import parse_speeds, set_on_machine
from shop.engineering.holes.plan import Wall, plan_hole, plan_walls
from shop.engineering.joints.grades import strength_of
from shop.engineering.joints.stiffness import Turned, after_turning, bolt_stiffness, member_stiffness
from shop.engineering.joints.threads import parse_thread
from shop.engineering.joints.tightening import Clamp, Finish, clamp_load
from shop.engineering.joints.wrenches import tightening_order
from shop.engineering.limits import parse_limits
from shop.engineering.limits.shown import ReadAs, limits_read_as
from shop.engineering.quantities import parse_quantity
from tests.shop.engineering.instruments import TAPE
from tests.shop.engineering.known_work import times_known_work

BLINK = 5.0  # thousand sums of fractions
LIMITS = parse_limits("29 1/2 ±1/16 in")
EQUAL = parse_limits("≤ 1/16 in")
BOLT = parse_thread("1/2-20")
GRADE_8 = strength_of("8", BOLT)
READ = [parse_quantity(text) for text in ("29 1/2 in", "29 17/32 in", "29 9/16 in")]
WALLS = (Wall("inner", Fraction(13, 8)), Wall("outer", Fraction(9, 8)))
SAWS = [Fraction(9, 8), Fraction(13, 8)]


def clamped() -> Clamp:
    return clamp_load(27.1, BOLT, GRADE_8, Finish.OILED)


def turned() -> Turned:
    stiffness = bolt_stiffness(126.7, 19, BOLT.stress_area_mm2, 19, 207_000)
    members = member_stiffness(207_000, 12.7, 38)
    return after_turning(clamped(), BOLT, GRADE_8, 180, bolt=stiffness, members=members)


COMPUTATIONS: dict[str, Callable[[], Any]] = {
    "limit": lambda: parse_limits("65 +5 −0 lbf·ft"),
    "figure as called out": lambda: parse_quantity("one hundred and five and a half inches"),
    "other units": lambda: limits_read_as(LIMITS, ReadAs("metric")),
    "decision": lambda: decide(LIMITS, TAPE, READ[0], ISO_14253_95).probability,
    "decision again": lambda: decide_repeated(LIMITS, [Reading(q, TAPE) for q in READ], ISO_14253_95),
    "pair": lambda: decide_pair(LIMITS, EQUAL, TAPE, READ[0], READ[1], ISO_14253_95),
    "capability": lambda: can_prove(LIMITS, TAPE, ISO_14253_95).sentence,
    "thread": lambda: parse_thread("1/2-13").stress_area_mm2,
    "clamp load": lambda: clamped().sentence,
    "torque plus angle": lambda: turned().sentence,
    "tap drill": lambda: tap_drill(Fraction(1, 2), Fraction(13)),
    "hole": lambda: plan_hole(Fraction(9, 8), drills=INCH, saws_in=SAWS),
    "walls": lambda: plan_walls(WALLS, drills=INCH, saws_in=SAWS),
    "speeds": lambda: set_on_machine(430, parse_speeds("50…3000")),
    "sleeve": lambda: floating_pin(
        Fraction(17, 16), (Fraction(9, 8), Fraction(9, 8)), Fraction(0), uncertain_in=Fraction(1, 64)
    ),
    "pattern": lambda: tightening_order(40),
    **{f"sheet {sheet.key}": partial(sheet.answer, sheet.usual) for part in parts() for sheet in part.sheets},
}


@pytest.mark.parametrize("name", COMPUTATIONS)
def test_it_takes_less_than_a_blink(name: str) -> None:
    assert times_known_work(COMPUTATIONS[name]) < BLINK


def test_nothing_heavy_is_loaded_for_it() -> None:
    modules = (
        "shop.engineering.joints.arriving, shop.engineering.holes.plan, shop.engineering.decision.repeated"
    )
    heavy = "{'numpy', 'scipy', 'pint', 'django', 'weasyprint', 'ortools'}"
    code = f"import sys, {modules}; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_nothing_heavy_is_loaded_when_the_web_server_starts() -> None:
    """With every address and view in place; what papers and plans need is loaded where it is needed."""
    code = (
        "import sys; import shop.wsgi; from django.urls import get_resolver; get_resolver().url_patterns; "
        "print(sorted({'numpy', 'scipy', 'pint', 'weasyprint', 'ortools', 'pandas'} & set(sys.modules)))"
    )
    settings = {**os.environ, "DJANGO_SETTINGS_MODULE": "shop.settings"}
    done = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", code], capture_output=True, text=True, check=True, env=settings
    )
    assert done.stdout.strip() == "[]"

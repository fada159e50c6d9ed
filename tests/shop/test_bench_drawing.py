"""The drawings of the bench: what lies where agrees with the figures, and nothing leaves the picture."""

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.bench.geometry import (
    CIRCLES_HEIGHT,
    HOLE_HEIGHT,
    LEFT,
    RIGHT,
    WIDTH,
    Circle,
    lay_edge,
    lay_load,
    lay_passing,
    lay_zone,
)
from shop.bench.index import find_sheet
from shop.engineering.holes.floating import Goes, fixed_pin, floating_pin

FEW = settings(max_examples=60, deadline=None)
WHOLE = st.integers(-(10**30), 10**30)
GUARD = st.integers(0, 10**18)
SIZE = st.fractions(Fraction(1, 10**9), 10**9)
INCH = st.fractions(Fraction(1, 64), 4, max_denominator=64)


@FEW
@given(low=WHOLE, width=st.integers(0, 10**20), reading=WHOLE, guard=GUARD, expanded=GUARD)
def test_a_zone_is_whole_and_in_order_for_any_reading(
    low: int, width: int, reading: int, guard: int, expanded: int
) -> None:
    high = low + width
    accept = (low + guard, high - guard) if 2 * guard <= width else None
    zone = lay_zone((low, high), accept, (low - guard, high + guard), reading, expanded)
    assert zone is not None
    stops = [zone.cells[0].start, *(cell.end for cell in zone.cells)]
    assert (stops[0], stops[-1], stops) == (LEFT, RIGHT, sorted(stops))
    assert [cell.start for cell in zone.cells] == stops[:-1]
    assert LEFT <= zone.off_low <= zone.reading <= zone.off_high <= RIGHT
    assert LEFT < zone.limits[0] <= zone.limits[1] < RIGHT
    assert any(cell.kind == "conforms" for cell in zone.cells) <= (accept is not None)


@FEW
@given(limit=WHOLE, reading=WHOLE, guard=GUARD, expanded=GUARD, is_upper=st.booleans())
def test_a_single_limit_is_open_to_the_other_side(
    limit: int, reading: int, guard: int, expanded: int, is_upper: bool
) -> None:
    sign = 1 if is_upper else -1
    ends = [(None, end) if is_upper else (end, None) for end in (limit, limit - sign * guard)]
    reject = (None, limit + guard) if is_upper else (limit - guard, None)
    zone = lay_zone(ends[0], ends[1], reject, reading, expanded)
    assert zone is not None
    assert len(zone.limits) == 1
    outside = zone.cells[0 if is_upper else -1]
    assert outside.kind != "rejects"
    assert LEFT <= zone.off_low <= zone.reading <= zone.off_high <= RIGHT


@pytest.mark.parametrize(
    ("reading", "kind"), [(940, "rejects"), (965, "close"), (1000, "conforms"), (1030, "close")]
)
def test_the_reading_lies_in_the_cell_of_its_verdict(reading: int, kind: str) -> None:
    zone = lay_zone((970, 1030), (980, 1020), (960, 1040), reading, 12)
    assert zone is not None
    assert [cell.kind for cell in zone.cells if cell.start < zone.reading < cell.end] == [kind]


def test_nothing_is_drawn_of_a_zone_without_or_with_crossed_ends() -> None:
    assert lay_zone((None, None), (None, None), (None, None), 3, 1) is None
    assert lay_zone((970, 1030), (1020, 980), (960, 1040), 1000, 12) is None
    assert lay_zone((970, 1030), (980, 1020), (960, 1040), 1000, -1) is None


@FEW
@given(low=st.floats(1e-9, 1e9), factor=st.floats(1, 1e6), yields=st.floats(50, 200))
def test_a_load_is_in_order_and_tells_full_from_less(low: float, factor: float, yields: float) -> None:
    load = lay_load(low, low * factor, yields)
    assert load is not None
    assert LEFT <= load.start <= load.end <= RIGHT
    assert LEFT < load.full < RIGHT
    assert dict(load.ticks)[100] == load.full
    assert (load.end > load.full) <= (low * factor > 100)
    assert load.is_open == (low * factor > 400)


@pytest.mark.parametrize("wrong", [(0, 50), (-5, 50), (60, 50), (50, float("inf")), (float("nan"), 50)])
def test_nothing_is_drawn_of_what_is_no_load(wrong: tuple[float, float]) -> None:
    assert lay_load(*wrong, 110) is None


def inside(circle: Circle, height: float) -> bool:
    left, right = circle.x - circle.r, circle.x + circle.r
    return circle.r > 0 and left >= LEFT - 0.1 and right <= RIGHT + 0.1 and 2 * circle.r <= height


@FEW
@given(pin=SIZE, hole=SIZE, other=st.none() | SIZE, offset=st.fractions(-(10**9), 10**9))
def test_circles_stay_in_the_picture(
    pin: Fraction, hole: Fraction, other: Fraction | None, offset: Fraction
) -> None:
    passing = lay_passing(pin, hole, other, offset)
    assert passing is not None
    drawn = [passing.pin, passing.hole, *([passing.other] if passing.other else [])]
    assert all(inside(circle, CIRCLES_HEIGHT) for circle in drawn)


@FEW
@given(pin=INCH, hole=INCH, other=st.none() | INCH, offset=st.fractions(0, 1, max_denominator=64))
def test_the_pin_lies_within_its_holes_where_it_goes_through(
    pin: Fraction, hole: Fraction, other: Fraction | None, offset: Fraction
) -> None:
    if other is None:
        found = fixed_pin(pin, hole, offset, uncertain_in=Fraction(0))
    else:
        found = floating_pin(pin, (hole, other), offset, uncertain_in=Fraction(0))
    passing = lay_passing(pin, hole, other, offset)
    assert passing is not None
    holes = [passing.hole, *([passing.other] if passing.other else [])]
    assert all(circle.holds(passing.pin) for circle in holes) == (found.goes is not Goes.BINDS)


@FEW
@given(size=SIZE, least=SIZE, distance=st.none() | SIZE)
def test_a_hole_at_an_edge_stays_in_the_picture_and_to_scale(
    size: Fraction, least: Fraction, distance: Fraction | None
) -> None:
    laid = lay_edge(size, least, distance)
    assert laid is not None
    assert inside(laid.hole, HOLE_HEIGHT)
    assert LEFT <= laid.edge <= laid.least <= RIGHT
    if distance is None:
        assert laid.hole.x == laid.least
    else:
        assert laid.given == laid.hole.x
        assert (laid.given < laid.least) <= (distance < least)
        assert (laid.hole.x - laid.hole.r < laid.edge - 0.01) <= (distance < size / 2)


def test_nothing_is_drawn_of_sizes_of_nothing() -> None:
    assert lay_passing(Fraction(0), Fraction(1), None, Fraction(0)) is None
    assert lay_edge(Fraction(1, 2), Fraction(-1), None) is None


@pytest.mark.parametrize(
    ("key", "typed", "tells"),
    [
        ("decide", {"reading": "29 1/2"}, "29 7/16 in to 29 9/16 in: it conforms"),
        ("decide", {"reading": "40", "limit": "≤ 1/8 in"}, "it does not conform"),
        ("clamp", {"torque": "500"}, "% of the bolt's proof load"),
        ("floats", {"other": "1 1/4"}, "other wall's hole 1 1/4 in, centres 1/16 in apart"),
        ("edge", {"distance": "5/8", "hole": "9/16"}, "given 5/8 in: too near"),
        ("edge", {"thread": "M12", "distance": "40 mm"}, "given 40 mm"),
    ],
)
def test_a_sheet_draws_inside_its_picture_and_tells_it_in_words(
    key: str, typed: dict[str, str], tells: str
) -> None:
    sheet = find_sheet(key)
    assert sheet is not None
    drawing = sheet.answer({**sheet.usual, **typed}).drawing
    assert drawing is not None
    assert tells in drawing.told
    assert all(0 <= note.x <= WIDTH and 0 < note.y < drawing.height for note in drawing.notes)
    for stroke in drawing.strokes:
        for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", stroke.path):
            assert 0 <= float(x) <= WIDTH, stroke
            assert 0 <= float(y) <= drawing.height, stroke

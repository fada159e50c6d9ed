"""Layout in the plane: where arcs meet, what pins a mark, which readings help."""

import json
import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.layout.checking import uncertainties
from shop.engineering.layout.cross_checks import plan_checks
from shop.engineering.layout.plane import (
    Datum,
    LayoutError,
    Mark,
    Span,
    Step,
    fitted,
    information,
    meeting_points,
    require_triangle,
    spread,
)
from shop.engineering.layout.tapes import Tape
from tests.reference.rows import Row, rows

TAPE = Tape("in", error=1 / 32, resolution=1 / 32)
FRONT, FLANGE = Datum("front", (0, 0), (0, 9)), Datum("flange", (0, 0), (90, 0))
REAR, PIN, FAR = Datum("rear", (60, 0), (60, 9)), Datum("P", (5, 8)), Datum("Q", (55, 1))
HOLE = Mark("H1", ((29.5, 3.0),), (Step(FRONT), Step(FLANGE)), 1 / 16, 17 / 64)
LINE = Mark("C1", ((29.5, 0.0), (29.5, 9.0)), (Step(FRONT, (0, 1)),), 1 / 16)
places = st.floats(1, 99)


def row(number: str) -> Row:
    return next(r for r in rows("geometry.csv") if r.id == number)


def test_arcs_meet_as_published() -> None:
    """Trilateration in the plane; derived by hand from the law of cosines."""
    told = json.loads(row("G019").inputs)
    above, below = meeting_points(tuple(told["P1"]), told["r1"], tuple(told["P2"]), told["r2"])
    x, y = (float(part) for part in row("G019").expected.split(";"))
    assert above == pytest.approx((x, y), abs=1e-9)
    assert below == pytest.approx((x, -y), abs=1e-9)


def test_distances_that_no_point_has_are_refused_as_published() -> None:
    told = json.loads(row("G021").inputs)
    with pytest.raises(LayoutError, match="do not reach each other: the datums are 1000 apart"):
        require_triangle(told["r"][0], told["r"][1], math.dist(told["P"][0], told["P"][1]))


def test_three_four_five_is_square_as_published() -> None:
    """The corner at which legs and long side agree is a right one: the cross-check reads the long side."""
    first, second = json.loads(row("G027").inputs)["legs"]
    corner = Mark("K", ((first, 0.0),), (Step(Datum("A", (0, 0))), Step(Datum("B", (0, second)))), 1)
    assert row("G027").accepts(corner.reads(Span(Datum("B", (0, second)))))


def test_points_on_one_another_and_a_long_side_are_refused() -> None:
    with pytest.raises(LayoutError, match="from one place"):
        meeting_points((1, 1), 3, (1, 1), 3)
    with pytest.raises(LayoutError, match="differ by more than the 4"):
        meeting_points((0, 0), 9, (4, 0), 3)


@given(places, places, places, places)
def test_the_arcs_of_a_point_meet_in_it(x: float, y: float, at: float, level: float) -> None:
    one, two, point = (0.0, 0.0), (at, level), (x, y)
    both = meeting_points(one, math.dist(one, point), two, math.dist(two, point))
    assert min(math.dist(found, point) for found in both) < 1e-5 * 100


@given(st.floats(-2, 2), st.floats(-2, 2), st.permutations([FRONT, FLANGE, PIN, FAR]))
def test_a_moved_mark_is_found_where_it_was_moved(dx: float, dy: float, datums: list[Datum]) -> None:
    spans = [Span(datum) for datum in datums]
    found = fitted(HOLE, spans, [HOLE.reads(span, (dx, dy)) for span in spans])
    assert found == pytest.approx((dx, dy), abs=1e-6)


@given(st.lists(st.tuples(places, places), min_size=1, max_size=6))
def test_more_readings_never_widen_the_uncertainty(points: list[tuple[float, float]]) -> None:
    datums = [FRONT, FLANGE, *(Datum(f"D{n}", (x, -y)) for n, (x, y) in enumerate(points))]
    weighed = [(HOLE.row(Span(datum)), TAPE.u(HOLE.reads(Span(datum)))) for datum in datums]
    worst = [spread(*information(weighed[:n])) for n in range(2, len(weighed) + 1)]
    assert all(later <= before * (1 + 1e-9) for before, later in pairwise(worst))


def test_a_tape_is_not_bettered_by_reading_it_often() -> None:
    datums = [FRONT, FLANGE, REAR, PIN, FAR]
    plan = plan_checks(HOLE, datums, TAPE, most=3)
    assert len(plan.spans) == 5
    assert min(uncertainties(plan, TAPE)) >= TAPE.own(0)


def test_a_layout_from_parallel_edges_places_nothing() -> None:
    wrong = Mark("H", ((29.5, 3.0),), (Step(FRONT), Step(REAR)), 1 / 16)
    assert (wrong.fault(), HOLE.fault(), LINE.fault()) == ("parallel", "", "")
    with pytest.raises(LayoutError, match="not placed"):
        plan_checks(wrong, [FRONT, REAR], TAPE)
    assert Mark("H", ((29.5, 3.0),), (Step(FRONT),), 1 / 16).fault() == "few"


def test_cross_checks_bear_one_wrong_reading() -> None:
    plan = plan_checks(HOLE, [FRONT, FLANGE, PIN, FAR], TAPE)
    assert {span.datum.code for span in plan.checks} == {"P", "Q"}
    assert plan.bears_one_slip
    assert plan.worst <= plan.worst_without_one


def test_readings_that_run_beside_another_are_named_useless() -> None:
    beside = Datum("B", (2, 3.1))
    plan = plan_checks(HOLE, [FRONT, FLANGE, PIN, FAR, beside], TAPE)
    assert [span.datum.code for span in plan.checks].count("P") == 1
    (useless,) = plan.useless
    assert useless.span.datum.code in {"B", "Q"}
    assert useless.beside == Span(FRONT)
    along = plan_checks(LINE, [FRONT, REAR, Datum("on it", (29.5, 4.5)), Datum("S", (29, -9))], TAPE)
    assert {u.span.datum.code for u in along.useless} == {"on it", "S"}
    assert [span.datum.code for span in along.checks] == ["rear", "rear"]


def test_a_line_is_checked_at_both_ends() -> None:
    plan = plan_checks(LINE, [FRONT, PIN, FAR], TAPE)
    assert sorted(span.end for span in plan.checks) == [0, 1]
    assert plan.bears_one_slip


def test_a_hole_with_no_other_datum_says_so() -> None:
    plan = plan_checks(HOLE, [FRONT, FLANGE], TAPE)
    assert plan.checks == ()
    assert not plan.bears_one_slip

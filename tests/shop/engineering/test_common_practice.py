"""Check values of the trade, each of them common practice, no source."""

import math
from itertools import pairwise

import pytest
from scipy.optimize import minimize

from shop.engineering.layout.cross_checks import plan_checks
from shop.engineering.layout.plane import Datum, Mark, Span, Step, fitted
from shop.engineering.layout.tapes import Tape
from shop.engineering.placing.fit import fit_place
from shop.engineering.placing.readings import Asked, Frame, ReadingKind
from shop.engineering.welds.order import WeldPlace, heat_of_order, weld_order

TAPE = Tape("in", error=1 / 32, resolution=1 / 32)
EDGE, FRONT = Datum("E", (0, 0), (0, 30)), Datum("A", (0, 0), (0, 30))
FLANGE, CENTRE = Datum("F", (0, 0), (60, 0)), Datum("CL", (7.25, 0), (7.25, 30))


def test_marks_at_14_and_7_1_4_from_one_edge_and_the_centre_line() -> None:
    """Common practice, no source: 7 1/4 in is the centre line, so that 14 in lies 6 3/4 in from it."""
    mark = Mark("M", ((14.0, 3.0),), (Step(EDGE), Step(FLANGE)), 1 / 16)
    assert mark.reads(Span(CENTRE)) == 6.75
    assert Mark("CL", ((7.25, 3.0),), (Step(EDGE), Step(FLANGE)), 1 / 16).reads(Span(EDGE)) == 7.25


def test_a_vertical_line_29_1_2_back_and_a_horizontal_one_3_up_meet_where_they_should() -> None:
    """Common practice, no source: their corner is the long side of 29 1/2 and 3 from the corner."""
    corner = Mark("K", ((29.5, 3.0),), (Step(FRONT), Step(FLANGE)), 1 / 16)
    origin = Datum("O", (0, 0))
    assert corner.reads(Span(origin)) == pytest.approx(math.sqrt(29.5**2 + 3**2))
    plan = plan_checks(corner, [FRONT, FLANGE, origin, Datum("P", (40.0, 20.0))], TAPE)
    assert {span.datum.code for span in plan.checks} == {"O", "P"}


def test_twelve_plug_welds_in_each_of_two_plates_alternate_and_stay_cooler() -> None:
    """Common practice, no source: twelve a plate; none follows another in the same plate."""
    places = [
        WeldPlace(
            f"{side[0].upper()}{n}", f"plate {side}", side, (25.0 * (n % 6), 25.0 * (n // 6)), 4000, 0.75, 3.2
        )
        for side in ("left", "right")
        for n in range(12)
    ]
    order = [each.code for each in weld_order(places)]
    assert len(set(order)) == 24
    assert all(one[0] != other[0] for one, other in pairwise(order))
    ours, naive = (heat_of_order(places, codes) for codes in (order, [p.code for p in places]))
    assert ours.peak_k < naive.peak_k


@pytest.mark.parametrize(("read", "is_level"), [(0.0, True), (1.0, False)])
def test_plates_are_level_before_they_are_tacked(read: float, is_level: bool) -> None:
    """Common practice, no source: a level across both plates shows it; 1° of roll is told as such."""
    points = {"L": (0.0, 400.0, 0.0), "R": (0.0, -400.0, 0.0), "B": (-300.0, 0.0, 0.0)}
    asked = (
        Asked("across", ReadingKind.SLOPE, ("L", "R"), (), 0.05),
        *(Asked(f"h{n}", ReadingKind.HEIGHT, (n,), (), 0.5) for n in points),
    )
    rise = 400 * math.sin(math.radians(read))
    fit = fit_place(Frame(points, {}, asked), {"across": read, "hL": rise, "hR": -rise, "hB": 0.0})
    assert (abs(fit.angles_deg[0]) < 0.05) == is_level
    assert abs(fit.angles_deg[0]) == pytest.approx(read, abs=1e-3)


@pytest.mark.parametrize("seed", range(4))
def test_a_mark_is_found_where_a_minimiser_finds_it(seed: int) -> None:
    """A second opinion: the least squares of five readings, by a search that knows no slopes."""
    datums = [
        FRONT,
        FLANGE,
        Datum("P", (5.0 + seed, 20.0)),
        Datum("Q", (50.0, 2.0 + seed)),
        Datum("S", (33.0, 28.0)),
    ]
    mark = Mark("H", ((20.0 + seed, 9.0),), (Step(FRONT), Step(FLANGE)), 1 / 16)
    spans = [Span(datum) for datum in datums]
    values = [mark.reads(span, (0.3, -0.2)) + 0.02 * (-1) ** (n + seed) for n, span in enumerate(spans)]

    def left(moved: list[float]) -> float:
        return sum((v - mark.reads(s, (moved[0], moved[1]))) ** 2 for s, v in zip(spans, values, strict=True))

    found = minimize(left, [0.0, 0.0], method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-15})
    assert fitted(mark, spans, values) == pytest.approx(tuple(found.x), abs=1e-5)

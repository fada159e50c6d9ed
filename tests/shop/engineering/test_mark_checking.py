"""Judging a mark by all its readings, and naming the usual slip.

The figures are common practice, without a source: marks 14 and 7 1/4 in from one edge, 7 1/4 in being the
centre line; a line 29 1/2 in back of a front datum; one 3 in up from a flange.
"""

import random
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.decision.rules import ISO_14253_95
from shop.engineering.decision.thresholds import Verdict
from shop.engineering.layout.checking import MarkCheck, check_mark
from shop.engineering.layout.cross_checks import CheckPlan, plan_checks
from shop.engineering.layout.plane import Datum, Mark, Pair, Span, Step
from shop.engineering.layout.slip_kinds import Slip, Where, transposed
from shop.engineering.layout.tapes import Tape, tape_of
from shop.engineering.layout.words import Axes, sentences, span_words
from tests.prove.layout_people import play, possible
from tests.prove.layout_report import scored
from tests.prove.layout_trials import TAPES, layouts
from tests.shop.engineering.instruments import TAPE as SHOP_TAPE
from tests.shop.engineering.known_work import times_known_work

TAPE = Tape("in", error=1 / 32, resolution=1 / 32)
FRONT, REAR = Datum("A", (0, 0), (0, 14)), Datum("B", (96, 0), (96, 14))
FLANGE, CENTRE = Datum("F", (0, 0), (96, 0)), Datum("CL", (0, 7.25), (96, 7.25))
PIN, PEG = Datum("P", (6, 12)), Datum("Q", (80, 2))
DATUMS = [FRONT, REAR, FLANGE, CENTRE, PIN, PEG]
CUT = Mark("C1", ((29.5, 0.0), (29.5, 14.0)), (Step(FRONT, (0, 1)),), 1 / 16)
LEVEL = Mark("C2", ((10.0, 3.0), (70.0, 3.0)), (Step(FLANGE, (0, 1)),), 1 / 16)
HOLE = Mark("H1", ((14.0, 10.0),), (Step(FRONT), Step(FLANGE)), 1 / 16, 27 / 64)


def plan(mark: Mark, datums: list[Datum] = DATUMS) -> CheckPlan:
    return plan_checks(mark, datums, TAPE)


def check(mark: Mark, moved: Pair = (0.0, 0.0), **misread: float) -> MarkCheck:
    """Read truly where it stands, but for the readings from some datums."""
    asked = plan(mark)
    values = [mark.reads(span, moved) + misread.get(span.datum.code, 0.0) for span in asked.spans]
    return check_mark(asked, values, DATUMS, TAPE, ISO_14253_95)


def said(found: MarkCheck) -> str:
    return " ".join(sentences(found, Axes("back", "up")))


def test_a_good_mark_conforms() -> None:
    for mark in (CUT, LEVEL, HOLE):
        found = check(mark)
        assert (found.verdict, found.slip, found.agrees) == (Verdict.CONFORMS, None, True)
    assert said(found) == (
        "By 4 readings it stands where it should: nothing off that the tape would show, ±1/16 in is allowed."
    )


def test_a_burned_inch_is_named_with_where_the_mark_stands() -> None:
    found = check(CUT, (-1.0, -1.0))
    assert found.verdict == Verdict.DOES_NOT_CONFORM
    assert said(found) == (
        "It is 1 in too far forward (±1/16 in); ±1/16 in is allowed. From A: burned an inch? Mark it again."
    )
    assert "1 in too far back" in said(check(CUT, (1.0, 1.0)))


def test_a_burned_inch_that_is_read_with_the_same_slip_again_is_named() -> None:
    found = check(CUT, (-1.0, -1.0), A=1.0)
    assert found.slip is not None
    assert (found.verdict, found.slip.slip, found.slip.where) == (
        Verdict.DOES_NOT_CONFORM,
        Slip.BURNED,
        Where.BOTH,
    )
    assert "1 in too far forward" in said(found)


def test_a_good_mark_that_is_misread_is_read_again() -> None:
    found = check(HOLE, (0.0, 0.0), A=27.0)
    assert (found.verdict, found.is_only_misread) == (Verdict.TOO_CLOSE, True)
    assert said(found).endswith("Reading from A: digits transposed? Read it again.")


@pytest.mark.parametrize(
    ("mark", "moved", "slip"),
    [
        (CUT, (0.125, 0.125), Slip.DIVISION),
        (HOLE, (27.0, 0.0), Slip.TRANSPOSED),
        (HOLE, (27 / 64, 0.0), Slip.EDGE_FOR_CENTRE),
        (HOLE, (0.0, 7.25), Slip.WRONG_DATUM),
        (Mark("H2", ((40.0, 10.0),), (Step(FRONT), Step(CENTRE)), 1 / 16), (0.0, -5.5), Slip.WRONG_SIDE),
    ],
)
def test_each_slip_is_named(mark: Mark, moved: Pair, slip: Slip) -> None:
    found = check(mark, moved)
    assert found.slip is not None
    assert (found.slip.slip, found.verdict) == (slip, Verdict.DOES_NOT_CONFORM)


def test_what_could_be_two_slips_is_marked_again_without_a_name() -> None:
    """A hole of 2 in: its edge taken for its centre is an inch, as is an inch burned."""
    found = check(Mark("H3", ((40.0, 10.0),), (Step(FRONT), Step(FLANGE)), 1 / 16, 1.0), (1.0, 0.0))
    assert (found.slip, found.verdict) == (None, Verdict.DOES_NOT_CONFORM)
    assert said(found).endswith("Mark it again.")
    assert "too far back" in said(found)


def test_what_is_no_usual_slip_is_marked_again_without_a_name() -> None:
    found = check(CUT, (0.7, 0.7))
    assert (found.slip, found.verdict) == (None, Verdict.DOES_NOT_CONFORM)


def test_a_line_out_of_square_is_told_by_its_end() -> None:
    assert "3/8 in too far back at its upper end" in said(check(CUT, (0.0, 0.375)))
    assert "1/2 in too low" in said(check(LEVEL, (-0.5, -0.5)))


def test_readings_that_no_point_has_are_told() -> None:
    arcs = Mark("H4", ((30.0, 2.0),), (Step(PIN), Step(PEG)), 1 / 16)
    found = check(arcs, (0.0, 0.0), P=-7.0)
    assert not found.agrees
    assert "No point can be that far from P and from Q at once." in said(found)
    assert found.verdict == Verdict.TOO_CLOSE


def test_readings_are_named_as_they_are_taken() -> None:
    asked = plan(CUT)
    words = [str(span_words(CUT, span, Axes(), {"A": "the front datum"})) for span in asked.spans]
    assert words[:2] == ["from the front datum to the lower end", "from the front datum to the upper end"]
    assert span_words(HOLE, Span(PIN), Axes(), {}) == "from P to the centre"


@pytest.mark.parametrize(("value", "figures"), [(14.25, [41.25]), (7.25, []), (29.5, [92.5]), (20.0, [])])
def test_transposed_digits(value: float, figures: list[float]) -> None:
    assert transposed(value) == figures


@given(st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
def test_the_verdict_does_not_hang_on_unit_or_order(dx: float, dy: float) -> None:
    asked = plan(HOLE)
    values = [HOLE.reads(span, (dx, dy)) for span in asked.spans]
    turned = CheckPlan(HOLE, asked.checks, asked.laid_out, (), asked.worst, asked.worst_without_one)
    again = [HOLE.reads(span, (dx, dy)) for span in turned.spans]
    one = check_mark(asked, values, DATUMS, TAPE, ISO_14253_95)
    other = check_mark(turned, again, DATUMS, TAPE, ISO_14253_95)
    assert one.verdict == other.verdict
    assert one.moved == pytest.approx((dx, dy), abs=1e-6)
    assert other.moved == pytest.approx((dx, dy), abs=1e-6)


def test_the_tape_of_an_instrument_has_its_uncertainty() -> None:
    tape = tape_of(SHOP_TAPE)
    assert tape.unit == "in"
    assert tape.u(30) == pytest.approx((float(Fraction(1, 32)) ** 2 / 3 + (1 / 32) ** 2 / 12) ** 0.5, rel=0.3)


def test_slips_are_named_over_random_layouts() -> None:
    """The long trial stands in the proofs; here a few hundred, with the same marks to be reached."""
    score = scored(seed=1, each=130)
    assert score.right / score.trials >= 0.80
    assert score.wrong / score.trials <= 0.01
    assert score.claimed / score.good <= 0.005


def test_sixty_marks_with_a_slip_each_are_planned_and_checked_at_once() -> None:
    """Both in some dozens of milliseconds, told in sums of fractions."""
    rng, tape = random.Random(5), TAPES["within 1/32 in, read to 1/32"]
    found, sixty = layouts(rng, tape), []
    while len(sixty) < 60:
        trial = next(found)
        if play(rng, trial, rng.choice(possible(trial))):
            sixty.append((trial, trial.board.datums))

    def plan_all() -> None:
        for trial, datums in sixty:
            plan_checks(trial.plan.mark, datums, tape)

    def check_all() -> None:
        for trial, datums in sixty:
            check_mark(trial.plan, trial.values, datums, tape, ISO_14253_95)

    assert times_known_work(plan_all) < 25
    assert times_known_work(check_all) < 25

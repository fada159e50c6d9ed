"""Threaded joints: what a torque does, what stops a wrong one, in inch and metric alike."""

import contextlib
import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.engineering.errors import QuantityError
from shop.engineering.joints.castle import castle_nut
from shop.engineering.joints.engagement import external_shear_area, least_engagement
from shop.engineering.joints.grades import strength_of
from shop.engineering.joints.stiffness import (
    after_turning,
    bolt_stiffness,
    load_by_turn,
    member_stiffness,
    turn_for_load,
)
from shop.engineering.joints.threads import ISO, UNIFIED, Thread, parse_thread, require_same_system
from shop.engineering.joints.tightening import (
    NUT_FACTORS,
    Finish,
    clamp_load,
    derated_nm,
    finish_of,
    lubricant_warning,
    torque_for_nm,
)
from shop.engineering.joints.wrenches import (
    Wrench,
    at_the_nut,
    fit_for,
    setting_for,
    staged_passes,
    tightening_order,
    unfit_for,
)

LBF_FT_NM = 1.3558179483314004
INCH_THREADS = [f"{size}-{count}" for size, counts in UNIFIED.items() for count in counts]
METRIC_THREADS = [f"M{size}x{pitch}" for size, pitches in ISO.items() for pitch in pitches]
HALF_INCH = parse_thread("1/2-13")
GRADE_8 = strength_of("8", HALF_INCH)


@pytest.mark.parametrize("name", INCH_THREADS + METRIC_THREADS)
def test_every_usual_thread_is_read_as_it_is_written(name: str) -> None:
    assert parse_thread(name).name == name


@pytest.mark.parametrize(
    "text", ["", "half inch", "1/2-", "M12x9", "M12x", "9/0-12", "1/2-9999", "M0x1", "-3/8-16"]
)
def test_what_is_no_thread_is_refused_in_words(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_thread(text)


@given(st.text(max_size=20))
def test_no_text_raises_anything_else(text: str) -> None:
    with contextlib.suppress(QuantityError):
        assert parse_thread(text).major_mm > 0


@given(st.sampled_from(INCH_THREADS), st.floats(1, 300), st.sampled_from(Finish))
def test_the_same_joint_in_inch_and_metric_clamps_alike(
    name: str, torque_lbf_ft: float, finish: Finish
) -> None:
    """Only the constant in the stress area tells the two systems apart, not what a torque clamps with."""
    inch = parse_thread(name)
    metric = Thread("the same", inch.major_mm, inch.pitch_mm, is_inch=False)
    strength = strength_of("8", inch)
    torque = torque_lbf_ft * LBF_FT_NM
    ours, other = (clamp_load(torque, one, strength, finish) for one in (inch, metric))
    assert (ours.low_n, ours.high_n) == (other.low_n, other.high_n)


@given(st.floats(1, 500), st.sampled_from(Finish))
def test_a_clamp_is_a_range_and_its_ends_give_the_torque_back(torque: float, finish: Finish) -> None:
    clamp, factor = clamp_load(torque, HALF_INCH, GRADE_8, finish), NUT_FACTORS[finish]
    assert clamp.low_n < clamp.high_n
    assert torque_for_nm(clamp.low_n, HALF_INCH, factor.high) == pytest.approx(torque)
    assert torque_for_nm(clamp.high_n, HALF_INCH, factor.low) == pytest.approx(torque)


@pytest.mark.parametrize("figure", [65, 35, 14, 40])
def test_usual_figures_leave_a_half_inch_bolt_below_its_yield(figure: int) -> None:
    """Common practice, no source: joints at 65, 35, 14 and 40 lbf·ft."""
    assert not clamp_load(figure * LBF_FT_NM, HALF_INCH, GRADE_8, Finish.ZINC_DRY).may_yield


def test_twenty_and_half_a_turn_takes_a_short_bolt_past_its_yield() -> None:
    """Common practice, no source: 20 lbf·ft plus 180°."""
    thread, grip = parse_thread("1/2-20"), 38.0
    strength = strength_of("8", thread)
    plain = math.pi / 4 * float(thread.major_mm) ** 2
    bolt = bolt_stiffness(plain, grip / 2, thread.stress_area_mm2, grip / 2, 207_000)
    members = member_stiffness(207_000, float(thread.major_mm), grip)
    snug = clamp_load(20 * LBF_FT_NM, thread, strength, Finish.OILED)
    turned = after_turning(snug, thread, strength, 180, bolt=bolt, members=members)
    assert not turned.stays_elastic
    assert "used once" in turned.sentence
    assert after_turning(snug, thread, strength, 5, bolt=bolt, members=members).stays_elastic


@given(st.floats(0, 720), st.floats(1e4, 1e6), st.floats(1e4, 1e7))
def test_turn_and_load_are_inverse(degrees: float, bolt: float, members: float) -> None:
    load = load_by_turn(HALF_INCH, degrees, bolt, members)
    assert turn_for_load(HALF_INCH, load, bolt, members) == pytest.approx(degrees, abs=1e-9)


def test_the_wrong_lubricant_is_warned_of_in_both_directions() -> None:
    assert lubricant_warning("clean, dry", "dry") is None
    assert "as hard" in (lubricant_warning("dry", "anti-seize") or "")
    assert "work loose" in (lubricant_warning("30-weight oil", "stainless, no lubricant") or "")


def test_a_figure_is_lowered_for_a_lubricant_only_once() -> None:
    assert derated_nm(100, "engine oil", finish=Finish.BLACK_DRY) == pytest.approx(90)
    with pytest.raises(QuantityError, match="already"):
        derated_nm(100, "engine oil", finish=Finish.OILED)


@pytest.mark.parametrize(
    ("words", "finish"),
    [("Clean and dry", Finish.BLACK_DRY), ("Anti-seize on the threads", Finish.ANTI_SEIZE),
     ("medium threadlocker", Finish.THREADLOCKER), ("whatever", Finish.UNKNOWN)],
)  # fmt: skip
def test_the_words_of_a_route_card_mean_a_finish(words: str, finish: Finish) -> None:
    assert finish_of(words) is finish


def test_a_metric_nut_does_not_belong_on_an_inch_bolt() -> None:
    with pytest.raises(QuantityError, match="one is inch, the other metric"):
        require_same_system(HALF_INCH, parse_thread("M12x1.75"))
    require_same_system(HALF_INCH, parse_thread("1/2-13 UNC"))


@pytest.mark.parametrize(
    ("grade", "thread"), [("8.8", "1/2-13"), ("8", "M12"), ("11", "1/2-13"), ("9.8", "M20")]
)
def test_a_grade_that_does_not_belong_to_the_thread_is_refused(grade: str, thread: str) -> None:
    with pytest.raises(QuantityError):
        strength_of(grade, parse_thread(thread))


@given(st.floats(10, 300), st.floats(100, 1000), st.floats(10, 300))
def test_a_setting_through_an_extension_arrives_as_the_figure(
    figure: float, lever: float, more: float
) -> None:
    assert at_the_nut(setting_for(figure, lever, more), lever, lever + more) == pytest.approx(figure)
    assert setting_for(figure, lever, more, degrees=90) == pytest.approx(figure)


def test_a_castle_nut_goes_forward_only() -> None:
    assert "forward 20°" in castle_nut(20)
    assert "never back" in castle_nut(40, turned_max_deg=30)
    with pytest.raises(QuantityError, match="never turned back"):
        castle_nut(-10)
    with pytest.raises(QuantityError, match="slot to slot"):
        castle_nut(60)


def test_an_unfit_wrench_is_refused_with_the_reason_and_the_fit_ones_named() -> None:
    small = Wrench("TW-1", Fraction(5), Fraction(50), Fraction(1), is_in_calibration=True)
    large = Wrench("TW-2", Fraction(20), Fraction(200), Fraction(2), is_in_calibration=True)
    lapsed = Wrench("TW-3", Fraction(20), Fraction(200), Fraction(1), is_in_calibration=False)
    assert "ends below" in (unfit_for(small, Fraction(88)) or "")
    assert "a fifth" in (unfit_for(large, Fraction(30)) or "")
    assert "out of calibration" in (unfit_for(lapsed, Fraction(88)) or "")
    assert fit_for([lapsed, small, large], Fraction(88)) == [large]


@given(st.integers(1, 40))
def test_a_pattern_takes_every_bolt_once(bolts: int) -> None:
    assert sorted(tightening_order(bolts)) == list(range(1, bolts + 1))


def test_a_pattern_goes_across() -> None:
    assert tightening_order(4) == (1, 3, 2, 4)
    assert tightening_order(5)[:2] in {(1, 3), (1, 4)}
    assert staged_passes(90) == (30, 60, 90, 90)


@given(st.floats(0.1, 3), st.floats(0.5, 3))
def test_more_engagement_never_shears_off_at_less(engaged: float, more: float) -> None:
    areas = [external_shear_area(length, 1.25, 6.912, 7.042) for length in (engaged, engaged * (1 + more))]
    assert areas[0] < areas[1]
    with pytest.raises(QuantityError, match="bored out"):
        least_engagement(36.6, 1.25, 9, 7.042)

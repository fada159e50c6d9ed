"""Where a cradle stands: motions put in come out, bad readings are told, words support what they say."""

import math
import time
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from shop.engineering.errors import GeometryError
from shop.engineering.placing.advice import free_words, next_reading
from shop.engineering.placing.change import PlaceVerdict, change_between, judge_place, reading_changes
from shop.engineering.placing.fit import Fit, fit_place
from shop.engineering.placing.readings import Asked, Frame, ReadingKind, expected_reading
from shop.engineering.placing.words import amount_text, movement_of, say_movement

POINTS = {"LF": (300, 380, 60), "RF": (300, -380, 60), "LR": (-280, 400, 20), "RR": (-280, -400, 20)}
BODY = {"LA": (-1400, 420, 0), "RA": (-1400, -420, 0), "LB": (-500, 450, 0), "RB": (-500, -450, 0)}
D, P, A, C, H, L, S = (
    ReadingKind(k) for k in ("distance", "plan", "ahead", "across", "height", "line", "slope")
)
DIAGONALS = (Asked("LF-RA", D, ("LF",), ("RA",)), Asked("RF-LA", D, ("RF",), ("LA",)))
ALL = (
    *DIAGONALS,
    Asked("LF-LA", D, ("LF",), ("LA",)),
    Asked("RF-RA", D, ("RF",), ("RA",)),
    Asked("LR centre", C, ("LR",)),
    Asked("RF centre", C, ("RF",)),
    *(Asked(f"{name} height", H, (name,)) for name in POINTS),
    Asked("LR rail", L, ("LR",), ("LA", "LB")),
    Asked("level", S, ("LF", "RF"), uncertainty=0.05),
    Asked("LR-RB plan", P, ("LR",), ("RB",)),
)
FRAME = Frame(POINTS, BODY, ALL)
SIMPLE = settings(max_examples=25, deadline=None)
poses = st.tuples(*[st.floats(-20, 20)] * 3, *[st.floats(-2, 2)] * 3)


def moved(frame: Frame, pose: tuple[float, ...]) -> dict[str, tuple[float, float, float]]:
    turn, m = Rotation.from_euler("ZYX", [pose[5], pose[4], pose[3]], degrees=True), np.array(frame.middle)
    return {n: tuple(turn.apply(np.array(p) - m) + m + pose[:3]) for n, p in frame.points.items()}


def readings(frame: Frame, pose: tuple[float, ...]) -> dict[str, float]:
    at = moved(frame, pose)
    return {asked.code: expected_reading(frame, asked, at)[0] for asked in frame.asked}


def noisy(pose: tuple[float, ...], seed: int) -> dict[str, float]:
    random = np.random.default_rng(seed)
    return {c: v + random.normal() * FRAME.find(c).uncertainty for c, v in readings(FRAME, pose).items()}


@given(poses)
@SIMPLE
def test_a_rigid_motion_put_in_comes_out(pose: tuple[float, ...]) -> None:
    found = fit_place(FRAME, readings(FRAME, pose))
    assert found.shift == pytest.approx(pose[:3], abs=1e-5)
    assert found.angles_deg == pytest.approx(pose[3:], abs=1e-6)
    assert not found.doubted
    for name, at in moved(FRAME, pose).items():
        assert found.at(FRAME.points[name]) == pytest.approx(at, abs=1e-4)


def test_in_plan_only_what_lies_in_the_plan_is_fitted() -> None:
    flat = Frame(POINTS, BODY, tuple(a for a in ALL if a.kind in {P, C, L, D}), is_flat=True)
    pose = (3.0, -2.0, 0.0, 0.0, 0.0, 0.4)
    found = fit_place(flat, readings(flat, pose))
    assert (found.shift, found.angles_deg) == (pytest.approx(pose[:3], abs=1e-6), pytest.approx((0, 0, 0.4)))


def test_a_brute_force_optimiser_agrees() -> None:
    read = noisy((2, -1.5, 1, 0.2, -0.1, 0.3), 7)

    def off(x: np.ndarray) -> list[float]:
        at = moved(FRAME, tuple(x))
        return [(expected_reading(FRAME, a, at)[0] - read[a.code]) / a.uncertainty for a in ALL]

    second = least_squares(off, np.zeros(6), xtol=1e-14, ftol=1e-14, gtol=1e-14)
    found = fit_place(FRAME, read)
    assert (*found.shift, *found.angles_deg) == pytest.approx(second.x, abs=1e-4)


@given(st.integers(0, 10_000), st.floats(-3000, 3000), st.permutations(range(len(ALL))))
@SIMPLE
def test_residuals_hang_on_neither_origin_units_nor_order(seed: int, far: float, order: list[int]) -> None:
    read = noisy((1, 2, 3, 0.1, 0.2, 0.3), seed)
    first = {r.code: r.off for r in fit_place(FRAME, read).residuals}
    # With another origin readings from the datum itself are other figures; those between points are not.
    between = {a.code: read[a.code] for a in ALL if a.references or a.kind is S}
    heights = {a.code: read[a.code] for a in ALL if a.kind in {H, C} and not a.references}
    shift = (far, -far / 2, far / 3)
    there = Frame(
        {n: tuple(p + s for p, s in zip(at, shift, strict=True)) for n, at in POINTS.items()},
        {n: tuple(p + s for p, s in zip(at, shift, strict=True)) for n, at in BODY.items()},
        tuple(ALL[i] for i in order),
    )
    offset = {H: shift[2], C: shift[1]}
    again = fit_place(there, between | {c: v + offset[FRAME.find(c).kind] for c, v in heights.items()})
    assert {r.code: r.off for r in again.residuals} == pytest.approx(first, abs=1e-5)
    inches = Frame(
        {n: tuple(p / 25.4 for p in at) for n, at in POINTS.items()},
        {n: tuple(p / 25.4 for p in at) for n, at in BODY.items()},
        tuple(a if a.is_angle else replace(a, uncertainty=a.uncertainty / 25.4) for a in ALL),
    )
    scaled = fit_place(inches, {c: v if FRAME.find(c).is_angle else v / 25.4 for c, v in read.items()})
    back = {r.code: r.off * (1 if FRAME.find(r.code).is_angle else 25.4) for r in scaled.residuals}
    assert back == pytest.approx(first, abs=1e-4)


@given(st.sets(st.sampled_from([a.code for a in ALL]), min_size=1), st.sampled_from([a.code for a in ALL]))
@SIMPLE
def test_more_readings_never_widen_the_uncertainty(taken: set[str], more: str) -> None:
    read = noisy((1, 0, 0, 0, 0.1, 0), 3)
    fewer, with_more = (fit_place(FRAME, {c: read[c] for c in codes}) for codes in (taken, taken | {more}))
    for axis in range(6):
        way = [float(i == axis) for i in range(6)]
        assert with_more.uncertainty(way) <= fewer.uncertainty(way) * (1 + 1e-9) + 1e-9


def test_one_reading_an_inch_off_is_pointed_out_and_not_thrown_out() -> None:
    read = noisy((1, 0, 0, 0, 0, 0), 5)
    assert not fit_place(FRAME, read).doubted
    read["LF-RA"] += 25.4
    found = fit_place(FRAME, read)
    assert found.doubted == ("LF-RA",)
    assert len(found.residuals) == len(ALL)
    assert judge_place(found, 100) is PlaceVerdict.TOO_CLOSE


def test_of_two_that_check_each_other_alone_both_are_pointed_out() -> None:
    read = noisy((1, 0, 0, 0, 0, 0), 5)
    read["LF height"] += 25.4
    assert set(fit_place(FRAME, read).doubted) == {"LF height", "RF height"}


def test_good_readings_are_seldom_doubted() -> None:
    doubted = sum(bool(fit_place(FRAME, noisy((0, 0, 0, 0, 0, 0), seed)).doubted) for seed in range(200))
    assert doubted <= 20


def test_equal_diagonals_do_not_prove_square() -> None:
    """A cradle shifted sideways has unequal ones; one turned and shifted can have equal ones."""
    read = {a.code: readings(FRAME, (0,) * 6)[a.code] for a in DIAGONALS}
    found = fit_place(FRAME, read)
    assert not found.is_pinned
    assert "equal diagonals do not prove square" in str(free_words(found))
    assert judge_place(found, 2) is PlaceVerdict.TOO_CLOSE
    best, gain = next_reading(FRAME, list(read))[0]
    assert gain > 1
    assert best not in read


def test_the_reading_that_helps_most_shrinks_the_whole_most() -> None:
    taken = ["LF-RA", "RF-LA", "LF height", "RF height"]

    def volume(code: str) -> float:
        inside = np.eye(6) / 25.0**2
        for each in (*taken, code):
            row = fit_place(FRAME, {each: readings(FRAME, (0,) * 6)[each]})
            inside += np.linalg.pinv(np.asarray(row.covariance), rcond=1e-9)
        return float(np.linalg.slogdet(inside)[1])

    left = [a.code for a in ALL if a.code not in taken]
    assert next_reading(FRAME, taken)[0][0] == max(left, key=volume)


def test_a_frame_that_is_pinned_asks_for_nothing() -> None:
    assert free_words(fit_place(FRAME, readings(FRAME, (0,) * 6))) is None


def said(fit: Fit, **how: str) -> list[str]:
    return [str(s.stands) for s in say_movement(movement_of(fit), **how)]


def test_it_is_said_in_shop_words_and_rounded_to_what_the_readings_support() -> None:
    yaw = -math.degrees(math.atan(3 * 25.4 / 32 / 800))
    found = fit_place(FRAME, readings(FRAME, (0, -25.4 / 8, 0, 0, 0, yaw)))
    assert said(found) == ["the whole of it 1/8 in to the right", "left side 3/32 in forward of the right"]
    assert say_movement(movement_of(found))[0].move == "move it 1/8 in to the left"
    tilted = fit_place(FRAME, readings(FRAME, (0, 0, 0, -0.4, 0.4, 0)))
    assert [s for s in said(tilted) if s.startswith("right rear")]
    assert not say_movement(movement_of(fit_place(FRAME, readings(FRAME, (0,) * 6))))


def test_words_in_millimetres() -> None:
    found = fit_place(FRAME, readings(FRAME, (6, 0, 0, 0, 0, 0)))
    assert said(found, system="metric") == ["the whole of it 6 mm forward"]
    assert amount_text(0.1, 0.3) == ""
    assert amount_text(2.4, 0.3) == "3/32 in"
    assert amount_text(2.4, 1.2) == "1/8 in"


@pytest.mark.parametrize(("x", "verdict"), [(0.0, "conforms"), (3.0, "too_close"), (8.0, "does_not_conform")])
def test_the_verdict_takes_the_uncertainty_in(x: float, verdict: str) -> None:
    assert judge_place(fit_place(FRAME, readings(FRAME, (x, 0, 0, 0, 0, 0))), 3.0) == verdict


def test_what_moved_in_the_weld_is_told_from_what_readings_explain() -> None:
    before = fit_place(FRAME, noisy((0, 0, 0, 0, 0, 0), 1))
    same, pulled = (fit_place(FRAME, noisy((0, y, 0, 0, 0, 0), seed)) for y, seed in ((0, 2), (6, 3)))
    assert not change_between(before, same).moved
    change = change_between(before, pulled)
    assert change.moved
    assert say_movement(change.movement)[0].stands.endswith("to the left")
    changed = reading_changes(FRAME, noisy((0,) * 6, 1), noisy((0, 6, 0, 0, 0, 0), 3))
    assert {c.code for c in changed if c.is_beyond_chance} >= {"LR centre", "RF centre"}


@pytest.mark.parametrize(
    ("points", "asked", "says"),
    [
        ({"A": (0, 0, 0), "B": (1, 0, 0)}, (), "third"),
        ({"A": (0, 0, 0), "B": (500, 0, 0), "C": (1000, 0, 0)}, (), "one line"),
        (POINTS, (Asked("x", D, ("LF",), ("nowhere",)),), "no point nowhere"),
        (POINTS, (Asked("x", D, ("LF",)),), "other points"),
        (POINTS, (ALL[0], ALL[0]), "code of its own"),
        (POINTS, (Asked("x", D, ("LF",), ("RA",), uncertainty=0),), "without uncertainty"),
    ],
)
def test_a_frame_rejects(points: dict, asked: tuple[Asked, ...], says: str) -> None:
    with pytest.raises(GeometryError, match=says):
        Frame(points, BODY, asked)


@pytest.mark.parametrize(
    ("read", "says"),
    [
        ({}, "Nothing is read"),
        ({"elsewhere": 1.0}, "not asked"),
        ({"LF-RA": 100.0, "LF-LA": 100.0}, "cannot both be right"),
        ({"LF-RA": 3000.0, "LF-LA": 1000.0}, "cannot both be right"),
        ({"LF-RA": -5.0}, "above nothing"),
        ({"LF-RA": math.nan}, "no figure"),
    ],
)
def test_readings_reject(read: dict[str, float], says: str) -> None:
    with pytest.raises(GeometryError, match=says):
        fit_place(FRAME, read)


def test_sixty_readings_take_less_than_50_ms() -> None:
    many = Frame(POINTS, BODY, tuple(replace(ALL[i % len(ALL)], code=str(i)) for i in range(60)))
    read = readings(many, (1, 2, 3, 0.1, 0.2, 0.3))
    fit_place(many, read)
    times = []
    for _number in range(3):
        start = time.process_time()
        fit_place(many, read)
        next_reading(many, list(read)[:6])
        times.append(time.process_time() - start)
    assert min(times) < 0.05

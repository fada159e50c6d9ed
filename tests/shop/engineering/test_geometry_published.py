"""Rigid fits, diagonals, level and heights against published and derived figures; scipy as second opinion."""

import json
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from shop.engineering.errors import GeometryError
from shop.engineering.placing import squareness
from shop.engineering.placing.attitude import set_back_angle, wheel_effects
from shop.engineering.placing.rigid import RigidFit, rigid_fit, yaw_pitch_roll
from tests.reference.rows import Row, rows

FILE = "geometry.csv"
# Marks and triangles: tested with the layout of marks.
OF_THE_LAYOUT = {"G019", "G021", "G027"}
Given = dict[str, Any]


def of(given: Given, *, with_scale: bool = False) -> RigidFit:
    first, second = ("src", "dst") if "src" in given else ("datum", "measured")
    return rigid_fit(given[first], given[second], with_scale=with_scale)


CHECKS: dict[str, Callable[[Given], object]] = {
    "G001": lambda g: of(g).rotation[0][0],
    "G002": lambda g: of(g).rotation[0][1],
    "G003": lambda g: of(g, with_scale=True).scale,
    "G004": lambda g: of(g, with_scale=True).shift,
    "G007": lambda g: of(g).shift,
    "G009": lambda g: yaw_pitch_roll(of(g).rotation)[0],
    "G011": lambda g: of(g).shift,
    "G012": lambda g: of(g).angle_deg,
    "G013": lambda g: of(g).rms,
    "G014": lambda g: of(g).sum_of_squares ** 0.5,
    "G022": lambda g: squareness.long_diagonal(g["a"], g["b"], g["skew_deg"]),
    "G023": lambda g: squareness.diagonal_difference(g["a"], g["b"], g["skew_deg"]),
    "G026": lambda g: squareness.small_skew_difference(g["a"], g["b"], g["skew_deg"]),
    "G028": lambda g: float(np.ptp(squareness.trapezoid_diagonals(*g.values()))),
    "G030": lambda g: squareness.tram_to_plan(g["point_to_point"], g["height_difference"]),
    "G031": lambda g: squareness.twist_of_heights(g["z_LF,RF,RR,LR"]),
    "G033": lambda g: squareness.tape_growth(g["L_mm"], g["dT_K"], per_k=g["alpha_per_K"]),
    "G034": lambda g: squareness.customary_tolerance(full_frame=False).plus_minus_mm,
    "G035": lambda g: squareness.customary_tolerance(full_frame=True).plus_minus_mm,
}


@pytest.mark.parametrize("row", [r for r in rows(FILE) if r.id in CHECKS], ids=repr)
def test_geometry_published(row: Row) -> None:
    found = CHECKS[row.id](json.loads(row.inputs))
    parts = found if isinstance(found, tuple) else (found,)
    expected = [float(p) for p in row.expected.split(" ; ")]
    assert list(parts) == pytest.approx(expected, abs=float(row.tolerance) + 1e-12)


def test_every_row_on_geometry_has_a_test() -> None:
    assert {row.id for row in rows(FILE)} == {*CHECKS, *OF_THE_LAYOUT, "G018"}


def test_points_on_one_line_reject_g018() -> None:
    given = json.loads(next(r for r in rows(FILE) if r.id == "G018").inputs)
    with pytest.raises(GeometryError, match="one line"):
        of(given)


def test_two_points_reject() -> None:
    with pytest.raises(GeometryError, match="third"):
        rigid_fit([(0, 0, 0), (1, 0, 0)], [(0, 0, 0), (1, 0, 0)])


def test_mirrored_points_are_told_and_never_reflected() -> None:
    points = [(0, 380, 250), (0, -380, 250), (-900, 390, 240), (-900, -390, 300), (-400, 10, 500)]
    exchanged = [(x, -y, z) for x, y, z in points]
    found = rigid_fit(points, exchanged)
    assert found.is_mirrored
    assert np.linalg.det(found.rotation) == pytest.approx(1)
    assert not rigid_fit(points, points).is_mirrored


def test_against_scipy() -> None:
    random = np.random.default_rng(4)
    for _number in range(25):
        a, w = random.normal(size=(6, 3)) * 500, random.uniform(0.2, 3, 6)
        b = a @ Rotation.from_rotvec(random.normal(size=3)).as_matrix().T + random.normal(size=(6, 3))
        found = rigid_fit(a.tolist(), b.tolist(), weights=w.tolist())
        middle_a, middle_b = w @ a / w.sum(), w @ b / w.sum()
        second, rssd = Rotation.align_vectors(b - middle_b, a - middle_a, weights=w)
        assert np.asarray(found.rotation) == pytest.approx(second.as_matrix(), abs=1e-9)
        assert found.sum_of_squares**0.5 == pytest.approx(rssd, rel=1e-9)


def test_equal_diagonals_do_not_prove_square() -> None:
    assert squareness.skew_of_diagonals(1500, 800, *squareness.trapezoid_diagonals(800, 820, 1500)) == 0
    assert squareness.skew_of_diagonals(1500, 800, 1702.46221, 1702.46221 - 4.92798364) == pytest.approx(
        0.2, abs=1e-6
    )
    with pytest.raises(GeometryError, match="No frame"):
        squareness.skew_of_diagonals(1500, 800, 2400, 900)


def test_set_back_of_six_millimetres_on_a_track_of_1500() -> None:
    """A derived figure: atan(6/1500)."""
    assert set_back_angle(6, 1500) == pytest.approx(0.229181896, abs=1e-6)


def _angles(axis: np.ndarray, *, left: bool) -> tuple[float, float]:
    """Caster and the lean of the steering axis outboard, degrees. Top rearward, top out: above nothing."""
    caster = np.degrees(np.arctan2(-axis[0], axis[2]))
    return caster, np.degrees(np.arctan2(axis[1] if left else -axis[1], axis[2]))


@pytest.mark.parametrize(("roll", "pitch", "yaw"), [(0.3, 0, 0), (0, 0.4, 0), (0, 0, 0.5), (0.2, -0.3, 0.1)])
def test_effects_on_the_wheels_are_those_of_turned_axes_to_first_order(
    roll: float, pitch: float, yaw: float
) -> None:
    turn = Rotation.from_euler("ZYX", [yaw, pitch, roll], degrees=True)
    effects = wheel_effects(roll, pitch, yaw, track_mm=1500)
    for left, caster, camber in (
        (True, effects.caster_left, effects.camber_left),
        (False, effects.caster_right, effects.camber_right),
    ):
        upright = np.array([0.0, 0.0, 1.0])
        before, after = _angles(upright, left=left), _angles(turn.apply(upright), left=left)
        assert (after[0] - before[0], after[1] - before[1]) == pytest.approx((caster, camber), abs=0.005)
    hubs = turn.apply([[0, 750, 0], [0, -750, 0]])
    assert hubs[1][0] - hubs[0][0] == pytest.approx(effects.set_back_mm, rel=0.001, abs=0.05)

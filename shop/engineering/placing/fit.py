"""The best-fit position of a part on a body out of whatever was measured: weighted least squares."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from statistics import NormalDist
from typing import TYPE_CHECKING, Any

from shop.engineering.errors import GeometryError
from shop.engineering.placing.readings import Frame, Vector, expected_reading, require_possible
from shop.engineering.placing.rigid import yaw_pitch_roll
from shop.engineering.words import say as _

if TYPE_CHECKING:
    import numpy as np

    Array = np.ndarray[Any, Any]

MOST_STEPS = 40
FALSE_ALARMS = 0.05


@dataclass(frozen=True)
class Residual:
    """What one reading is off from the best fit.

    Attributes:
        off: read less fitted, mm or degrees.
        normalised: in standard uncertainties of the residual itself; None where no other reading checks it.
    """

    code: str
    read: float
    off: float
    normalised: float | None


@dataclass(frozen=True)
class Fit:
    """Where a part stands, against where it should.

    Attributes:
        frame: what was fitted.
        shift: of the middle of its points, mm.
        rotation: rows of the matrix.
        residuals: one a reading.
        covariance: of ahead, left, up in mm and roll, pitch, yaw in mm at the reach; only what is pinned.
        free: directions that no reading pins, as shares of the six (three in plan).
        doubted: readings that disagree with the rest; they are not left out.
    """

    frame: Frame
    shift: Vector
    rotation: tuple[tuple[float, ...], ...]
    residuals: tuple[Residual, ...]
    covariance: tuple[tuple[float, ...], ...]
    free: tuple[tuple[float, ...], ...]
    doubted: tuple[str, ...]

    @cached_property
    def angles_deg(self) -> tuple[float, float, float]:
        """Roll, pitch, yaw: left side up, nose down, nose to the left."""
        yaw, pitch, roll = yaw_pitch_roll(self.rotation)
        return roll, pitch, yaw

    @property
    def movement(self) -> tuple[float, ...]:
        """Ahead, left, up in mm; roll, pitch, yaw in mm at the reach."""
        reach = self.frame.reach
        return (*self.shift, *(math.radians(a) * reach for a in self.angles_deg))

    def uncertainty(self, way: Sequence[float]) -> float:
        """Standard uncertainty of a combination of the six movements, mm; infinite where it is not pinned."""
        if any(abs(sum(a * b for a, b in zip(way, f, strict=True))) > 1e-6 for f in self.free):
            return math.inf
        each = (sum(c * b for c, b in zip(row, way, strict=True)) for row in self.covariance)
        return math.sqrt(max(0.0, sum(a * b for a, b in zip(way, each, strict=True))))

    @property
    def weakest(self) -> tuple[tuple[float, ...], float]:
        """The direction that the readings pin worst, and its standard uncertainty, mm at the reach."""
        import numpy as np

        if self.free:
            return self.free[0], math.inf
        values, ways = np.linalg.eigh(np.asarray(self.covariance)[np.ix_(*[used_axes(self.frame)] * 2)])
        full = np.zeros(6)
        full[used_axes(self.frame)] = ways[:, -1]
        return tuple(float(x) for x in full), math.sqrt(float(values[-1]))

    @property
    def is_pinned(self) -> bool:
        """Whether the readings hold every direction."""
        return not self.free

    def at(self, point: Vector) -> Vector:
        """Where a point that should be there is now."""
        return _moved(self.frame, self.rotation, self.shift, point)


def fit_place(frame: Frame, readings: Mapping[str, float]) -> Fit:
    """Where a part stands on its body, from what was read.

    Args:
        frame: the part, the body, and what each reading is.
        readings: by the code of what is asked, mm or degrees; some may be missing.
    Returns: the fit. Directions that no reading pins stay where they should be, and are named free.
    Raises:
        GeometryError: no reading, an unknown one, or distances that cannot be.

    Valid for a rigid part and readings whose uncertainties are independent. The covariance is that at the
    nominal position, so that it hangs on which readings there are and not on what they say: more of them
    never widen it. A reading is doubted where its residual is beyond what chance explains at 5 % over all
    readings. Source: BAARDA (residuals over their own uncertainty); GUM 5.2 (propagation)
    """
    import numpy as np

    if not readings:
        raise GeometryError(_("Nothing is read yet"))
    require_possible(frame, readings)
    codes = [asked.code for asked in frame.asked if asked.code in readings]
    read = np.array([readings[code] for code in codes])
    weight = np.array([1 / frame.find(code).uncertainty for code in codes])
    rotation, shift = np.eye(3), np.zeros(3)
    for step in range(MOST_STEPS):
        expected, slopes = model_of(frame, codes, rotation, shift)
        move = np.linalg.lstsq(weight[:, None] * slopes, weight * (read - expected), rcond=1e-7)[0]
        shift = shift + move[:3]
        rotation = _turned(move[3:] / frame.reach) @ rotation
        if step and np.abs(move).max() < 1e-9:
            break
    expected, _slopes = model_of(frame, codes, rotation, shift)
    _nominal, at_nominal = model_of(frame, codes, np.eye(3), np.zeros(3))
    covariance, free = _pinned_by(frame, weight[:, None] * at_nominal)
    residuals = _residuals(codes, read, read - expected, weight, weight[:, None] * at_nominal)
    rows = [tuple(map(tuple, array.tolist())) for array in (rotation, covariance, free)]
    x, y, z = shift.tolist()
    return Fit(frame, (x, y, z), rows[0], residuals, rows[1], rows[2], _doubted(residuals))


def chance_limit(count: int) -> float:
    """How many standard uncertainties a residual may be off before it is doubted.

    Args:
        count: how many residuals are looked at together.
    Returns: the two-sided limit at 5 % over all of them.

    Valid for normal readings. Source: BAARDA (with Bonferroni's share of 5 % each)
    """
    return NormalDist().inv_cdf(1 - FALSE_ALARMS / (2 * max(1, count)))


def used_axes(frame: Frame) -> list[int]:
    """Which of the six movements count.

    Args:
        frame: the part on its body.
    Returns: their places; in plan ahead, left and yaw.

    Valid for every frame. Source: HOUSE (a flat frame leaves heights out)
    """
    return [0, 1, 5] if frame.is_flat else [0, 1, 2, 3, 4, 5]


def _moved(
    frame: Frame, rotation: Sequence[Sequence[float]], shift: Sequence[float], point: Vector
) -> Vector:
    m = frame.middle
    arm = [p - c for p, c in zip(point, m, strict=True)]
    x, y, z = (m[i] + shift[i] + sum(rotation[i][j] * arm[j] for j in range(3)) for i in range(3))
    return (float(x), float(y), float(z))


def model_of(frame: Frame, codes: Sequence[str], rotation: Array, shift: Array) -> tuple[Array, Array]:
    """What each reading would be in a pose, and its slopes along the six movements.

    Args:
        frame: the part on its body.
        codes: of the readings.
        rotation: of the part, a 3 by 3 matrix.
        shift: of its middle, mm.
    Returns: the readings, and one row of six slopes for each; turns are in mm at the reach.
    Raises:
        GeometryError: points too near each other to give a direction.

    Valid for every pose. Source: HOUSE (analytic geometry)
    """
    import numpy as np

    rows, used = rotation.tolist(), used_axes(frame)
    at = {name: _moved(frame, rows, shift.tolist(), point) for name, point in frame.points.items()}
    middle = np.asarray(frame.middle) + shift
    expected, slopes = np.zeros(len(codes)), np.zeros((len(codes), 6))
    for i, code in enumerate(codes):
        asked = frame.find(code)
        expected[i], gradients = expected_reading(frame, asked, at)
        for name, gradient in zip(asked.points, gradients, strict=True):
            (ax, ay, az), (gx, gy, gz) = np.asarray(at[name]) - middle, gradient
            turn = (ay * gz - az * gy, az * gx - ax * gz, ax * gy - ay * gx)
            slopes[i] += (gx, gy, gz, *(t / frame.reach for t in turn))
    mask = np.zeros(6)
    mask[used] = 1.0
    return expected, slopes * mask


def _turned(turn: Array) -> Array:
    """The rotation by a vector of small angles, exactly."""
    import numpy as np

    angle = float(np.linalg.norm(turn))
    x, y, z = turn
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    if angle < 1e-12:
        return np.asarray(np.eye(3) + cross)
    turned: Array = (1 - math.cos(angle)) / angle**2 * (cross @ cross)
    return np.asarray(np.eye(3) + math.sin(angle) / angle * cross + turned)


def _pinned_by(frame: Frame, rows: Array) -> tuple[Array, Array]:
    import numpy as np

    used = used_axes(frame)
    _left, sizes, ways = np.linalg.svd(rows[:, used], full_matrices=True)
    sizes = np.pad(sizes, (0, len(used) - len(sizes[: len(used)])))[: len(used)]
    pinned = sizes > 1e-7 * max(float(sizes[0]), 1e-12)
    covariance, free = np.zeros((6, 6)), np.zeros((int((~pinned).sum()), 6))
    covariance[np.ix_(used, used)] = (ways[pinned].T / sizes[pinned] ** 2) @ ways[pinned]
    free[:, used] = ways[~pinned]
    return covariance, free


def _residuals(
    codes: Sequence[str], read: Array, off: Array, weight: Array, rows: Array
) -> tuple[Residual, ...]:
    import numpy as np

    hat = np.einsum("ij,ji->i", rows, np.linalg.pinv(rows, rcond=1e-7))
    found = []
    for i, code in enumerate(codes):
        share = 1 - float(hat[i])
        normalised = float(off[i] * weight[i]) / math.sqrt(share) if share > 1e-6 else None
        found.append(Residual(code, float(read[i]), float(off[i]), normalised))
    return tuple(found)


def _doubted(residuals: Sequence[Residual]) -> tuple[str, ...]:
    """The reading that is off most, with those that could as well be the wrong one."""
    sizes = {r.code: abs(r.normalised) for r in residuals if r.normalised is not None}
    if not sizes or max(sizes.values()) <= chance_limit(len(sizes)):
        return ()
    most = max(sizes.values())
    return tuple(code for code, size in sizes.items() if size > 0.98 * most)

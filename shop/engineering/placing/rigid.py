"""Best-fit rigid position of one set of points on another, point to point."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from shop.engineering.errors import GeometryError
from shop.engineering.words import say as _

if TYPE_CHECKING:
    import numpy as np

Points = Sequence[Sequence[float]]
# Points whose second extent is below this share of the first lie on a line for all that a tape can tell.
FLAT = 1e-6


@dataclass(frozen=True)
class RigidFit:
    """measured = scale · rotation · datum + shift + residual.

    Attributes:
        rotation: rows of the rotation matrix.
        shift: of the origin, the unit of the points.
        scale: 1 unless it was asked for.
        residuals: one vector a point, the unit of the points.
        sum_of_squares: of the residuals, weighted.
        is_mirrored: a reflection would fit better: left and right, or up and down, were exchanged.
    """

    rotation: tuple[tuple[float, ...], ...]
    shift: tuple[float, ...]
    scale: float
    residuals: tuple[tuple[float, ...], ...]
    sum_of_squares: float
    is_mirrored: bool

    @property
    def rms(self) -> float:
        """Root mean square residual a point, not a coordinate."""
        squares = sum(sum(part * part for part in r) for r in self.residuals)
        return math.sqrt(squares / len(self.residuals))

    @property
    def angle_deg(self) -> float:
        """How far it is turned about its own axis of rotation."""
        if len(self.rotation) == 2:
            return math.degrees(math.atan2(self.rotation[1][0], self.rotation[0][0]))
        r = self.rotation
        sines = (r[2][1] - r[1][2], r[0][2] - r[2][0], r[1][0] - r[0][1])
        return math.degrees(math.atan2(math.hypot(*sines), r[0][0] + r[1][1] + r[2][2] - 1))


def rigid_fit(
    datum: Points, measured: Points, *, weights: Sequence[float] | None = None, with_scale: bool = False
) -> RigidFit:
    """The rotation and shift that lay one set of points on another best.

    Args:
        datum: where the points should be, in 2-D or 3-D, any unit.
        measured: where they are, in the same order and unit.
        weights: one a point; all alike when None.
        with_scale: fit a scale too; far from 1 it says that a unit was mistaken. Steel has none.
    Returns: the fit; never a reflection.
    Raises:
        GeometryError: fewer than three points, points on a line, sets of different size, no weight.

    Valid for three or more points that do not lie on one line.
    Source: UMEYAMA (eq. 34 to 42, without the scale Kabsch's)
    """
    import numpy as np

    a, b = _points(datum, measured)
    w = _weights(len(a), weights)
    middle_a, middle_b = w @ a / w.sum(), w @ b / w.sum()
    from_a, from_b = a - middle_a, b - middle_b
    _require_spread(np.sqrt(w)[:, None] * from_a)
    _require_spread(np.sqrt(w)[:, None] * from_b)
    left, sizes, right = np.linalg.svd((w[:, None] * from_b).T @ from_a)
    signs = np.append(np.ones(a.shape[1] - 1), np.sign(np.linalg.det(left) * np.linalg.det(right)))
    rotation = left @ np.diag(signs) @ right
    scale = float(sizes @ signs / (w @ (from_a**2).sum(axis=1))) if with_scale else 1.0
    shift = middle_b - scale * rotation @ middle_a
    rest = b - (scale * a @ rotation.T + shift)
    return RigidFit(
        tuple(map(tuple, rotation.tolist())),
        tuple(shift.tolist()),
        scale,
        tuple(map(tuple, rest.tolist())),
        float(w @ (rest**2).sum(axis=1)),
        # Flat sets in 3-D have no size in the last direction: there a reflection is a rotation as well.
        bool(signs[-1] < 0 and sizes[-1] > FLAT * sizes[0]),
    )


def yaw_pitch_roll(rotation: Points) -> tuple[float, float, float]:
    """The angles of a rotation, turned about z, then the new y, then the new x.

    Args:
        rotation: rows of a 3-D rotation matrix.
    Returns: yaw, pitch, roll, degrees; x forward, y left, z up: to the left, nose down, left side up.

    Valid for pitch between -90° and 90°. Source: ISO8855 (sec. 5.2, axes and order of the angles)
    """
    pitch = math.asin(max(-1.0, min(1.0, -rotation[2][0])))
    yaw = math.atan2(rotation[1][0], rotation[0][0])
    roll = math.atan2(rotation[2][1], rotation[2][2])
    return math.degrees(yaw), math.degrees(pitch), math.degrees(roll)


def _weights(count: int, weights: Sequence[float] | None) -> np.ndarray[Any, Any]:
    import numpy as np

    w = np.ones(count) if weights is None else np.asarray(weights, float)
    if len(w) != count or not np.all(w >= 0) or not w.sum() > 0:
        raise GeometryError(_("Each point has a weight that is not below nothing"))
    return w


def _points(datum: Points, measured: Points) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    import numpy as np

    a, b = np.asarray(datum, float), np.asarray(measured, float)
    if a.shape != b.shape or a.ndim != 2 or a.shape[1] not in {2, 3}:
        raise GeometryError(_("Both sets name the same points, each with two or three figures"))
    if len(a) < 3:
        raise GeometryError(_("Two points do not pin a part; measure a third, away from their line"))
    return a, b


def _require_spread(points: np.ndarray[Any, Any]) -> None:
    """At least two directions in which the points are apart."""
    import numpy as np

    sizes = np.linalg.svd(points, compute_uv=False)
    if sizes[0] == 0 or sizes[1] <= FLAT * sizes[0]:
        raise GeometryError(
            _("The points lie on one line: the part could turn about it unseen; measure one beside the line")
        )

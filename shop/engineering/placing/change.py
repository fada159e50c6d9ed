"""Two sets of readings of the same points: what moved between them, and whether it is more than chance."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from shop.engineering.errors import GeometryError
from shop.engineering.placing.fit import Fit, chance_limit
from shop.engineering.placing.readings import Frame
from shop.engineering.placing.rigid import yaw_pitch_roll
from shop.engineering.placing.words import GUARD, Movement
from shop.engineering.words import say as _


@dataclass(frozen=True)
class Change:
    """How a part moved between two measurements.

    Attributes:
        movement: after less before.
        statistic: its squared size in standard uncertainties, over the directions that both pin.
        limit: what chance leaves it under 19 times in 20.
    """

    movement: Movement
    statistic: float
    limit: float

    @property
    def moved(self) -> bool:
        """Whether it moved more than the readings can explain."""
        return self.statistic > self.limit


@dataclass(frozen=True)
class ReadingChange:
    """One reading taken twice."""

    code: str
    before: float
    after: float
    uncertainty: float
    is_beyond_chance: bool

    @property
    def by(self) -> float:
        return self.after - self.before


class PlaceVerdict(StrEnum):
    """Whether a part stands where it should."""

    CONFORMS = "conforms"
    DOES_NOT_CONFORM = "does_not_conform"
    TOO_CLOSE = "too_close"


def change_between(before: Fit, after: Fit) -> Change:
    """How a part moved from one measurement to the next.

    Args:
        before: the earlier fit.
        after: the later fit, of the same part.
    Returns: the change with a test whether the readings can explain it.
    Raises:
        GeometryError: two different parts.

    Valid for small turns and for readings that were taken twice independently: what an instrument is always
    off cancels, so the test rather says too seldom that something moved.
    Source: GUM 5.2 (sum of the covariances); HOUSE (chi-square at 95 %, Wilson and Hilferty's approximation)
    """
    import numpy as np

    if before.frame.points != after.frame.points:
        raise GeometryError(_("Only two measurements of the same points can be compared"))
    reach = before.frame.reach
    turned = np.asarray(after.rotation) @ np.asarray(before.rotation).T
    yaw, pitch, roll = yaw_pitch_roll(turned.tolist())
    shift = [a - b for a, b in zip(after.shift, before.shift, strict=True)]
    amounts = np.array([*shift, *(math.radians(angle) * reach for angle in (roll, pitch, yaw))])
    covariance = np.asarray(before.covariance) + np.asarray(after.covariance)
    free = np.array([*before.free, *after.free]).reshape(-1, 6)
    keep = np.eye(6) - (np.linalg.pinv(free) @ free if len(free) else 0)
    seen = keep @ amounts
    inner = keep @ covariance @ keep
    statistic = float(seen @ np.linalg.pinv(inner, rcond=1e-9, hermitian=True) @ seen)
    freedom = int(np.linalg.matrix_rank(inner, tol=1e-12 * max(1.0, float(np.trace(inner)))))
    movement = Movement(
        before.frame,
        tuple(float(x) for x in amounts),
        tuple(tuple(float(x) for x in row) for row in covariance),
        (*before.free, *after.free),
    )
    return Change(movement, statistic, _chi_square_95(freedom))


def reading_changes(
    frame: Frame, before: Mapping[str, float], after: Mapping[str, float]
) -> tuple[ReadingChange, ...]:
    """The readings that were taken both times, and which changed more than chance explains.

    Args:
        frame: what the readings are.
        before: earlier, by code, mm or degrees.
        after: later.
    Returns: one for each reading that both have, in the order in which they are asked.
    Raises:
        GeometryError: an unknown reading.

    Valid for independent readings. Source: BAARDA (difference over √2 u, Bonferroni's share of 5 %)
    """
    both = [asked for asked in frame.asked if asked.code in before and asked.code in after]
    limit = chance_limit(len(both))
    return tuple(
        ReadingChange(
            asked.code,
            before[asked.code],
            after[asked.code],
            math.sqrt(2) * asked.uncertainty,
            abs(after[asked.code] - before[asked.code]) > limit * math.sqrt(2) * asked.uncertainty,
        )
        for asked in both
    )


def judge_place(fit: Fit, within_mm: float) -> PlaceVerdict:
    """Whether every point of a part stands within a distance of where it should, in every direction.

    Args:
        fit: of what was read.
        within_mm: what each point may be off ahead or back, to a side, up or down.
    Returns: conforms, or not, where it is proved at 95 %; too close to call where a direction is not pinned,
        a reading is in doubt, or the uncertainty leaves it open.
    Raises:
        GeometryError: the tolerance is not above nothing.

    Valid for a rigid part. Source: ISO14253-1 (guard band 1.645 u); HOUSE (first order about the nominal)
    """
    if within_mm <= 0:
        raise GeometryError(_("A tolerance is above nothing"))
    movement = Movement(fit.frame, fit.movement, fit.covariance, fit.free)
    verdict = PlaceVerdict.CONFORMS
    for way in _ways(fit.frame):
        amount, unsure = movement.along(way)
        if abs(amount) - GUARD * unsure > within_mm and not fit.doubted:
            return PlaceVerdict.DOES_NOT_CONFORM
        if abs(amount) + GUARD * unsure > within_mm:
            verdict = PlaceVerdict.TOO_CLOSE
    return PlaceVerdict.TOO_CLOSE if fit.doubted else verdict


def _ways(frame: Frame) -> list[list[float]]:
    """How each point moves along each axis, as a combination of the six movements."""
    found = []
    for point in frame.points.values():
        x, y, z = ((p - m) / frame.reach for p, m in zip(point, frame.middle, strict=True))
        found.append([1.0, 0.0, 0.0, 0.0, 0.0 if frame.is_flat else z, -y])
        found.append([0.0, 1.0, 0.0, 0.0 if frame.is_flat else -z, 0.0, x])
        if not frame.is_flat:
            found.append([0.0, 0.0, 1.0, y, -x, 0.0])
    return found


def _chi_square_95(freedom: int) -> float:
    if freedom < 1:
        return math.inf
    share = 2 / (9 * freedom)
    return freedom * (1 - share + 1.6448536 * math.sqrt(share)) ** 3

"""Guard bands as a factor of the tolerance, from the test uncertainty ratio: what other rules would take.

They are for comparing an instrument's agreed acceptance limits with a calibration house's; the verdicts
of this application come from `thresholds`.
"""

import math
from enum import StrEnum


class GuardBand(StrEnum):
    """Known ways of setting an acceptance limit from the test uncertainty ratio."""

    ROOT_SUM_SQUARES = "root sum of squares"
    WHOLE_UNCERTAINTY = "whole uncertainty"
    MANAGED_RISK = "managed risk"


def guard_band_factor(ratio: float, way: GuardBand) -> float:
    """The acceptance limit as a factor of the tolerance.

    Args:
        ratio: test uncertainty ratio, 1 or more.
        way: how it is set: √(1 − 1/R²); 1 − 1/R; or the managed risk of at most 2 % false accepts
            1 − (1.04 − exp(0.38 ln R − 0.54))/R.
    Returns: the factor, at most 1.
    Raises:
        ValueError: for a ratio below 1.

    Valid for two symmetric limits and ratios from 1. Source: Z540-3; ILAC-G8; DOBBERT (managed risk)
    """
    if not ratio >= 1:
        raise ValueError("the test uncertainty ratio is 1 or more")
    if way == GuardBand.ROOT_SUM_SQUARES:
        return math.sqrt(1 - 1 / ratio**2)
    if way == GuardBand.WHOLE_UNCERTAINTY:
        return 1 - 1 / ratio
    return min(1 - (1.04 - math.exp(0.38 * math.log(ratio) - 0.54)) / ratio, 1.0)

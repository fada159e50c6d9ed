"""The normal distribution, as far as decisions need it."""

import math


def normal_share(z: float) -> float:
    """The share of a normal distribution that lies below z standard deviations.

    Args:
        z: distance from the mean in standard deviations.
    Returns: Phi(z), from 0 to 1.

    Valid for every z. Source: JCGM106 7.3
    """
    return math.erfc(-z / math.sqrt(2)) / 2


def conformance_probability(
    reading: float, u: float, *, low: float | None = None, high: float | None = None
) -> float:
    """How likely the true value is to lie within the limits, given one reading.

    Args:
        reading: the value read, in any one unit.
        u: its standard uncertainty in that unit, from 0.
        low: the lower limit in that unit, None when there is none.
        high: the upper limit in that unit, None when there is none.
    Returns: the probability, from 0 to 1.

    Valid for a normal distribution without prior knowledge of the work.
    Source: JCGM106 7.3 (one limit), 7.4 (two limits)
    """
    if u == 0:
        inside = (low is None or reading >= low) and (high is None or reading <= high)
        return 1.0 if inside else 0.0
    above_low = 1.0 if low is None else normal_share((reading - low) / u)
    above_high = 0.0 if high is None else normal_share((reading - high) / u)
    return max(above_low - above_high, 0.0)

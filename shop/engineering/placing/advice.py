"""What else to measure: the reading that would tell most, and what the readings leave open."""

import math
from collections.abc import Sequence

from shop.engineering.placing.fit import Fit, model_of, used_axes
from shop.engineering.placing.readings import Frame
from shop.engineering.words import Words
from shop.engineering.words import say as _

# A direction that is held more loosely than this is said to be pinned badly, mm at the part's reach.
LOOSE_MM = 6.0
# Before anything is measured a part may be off by about this much, mm at its reach: for choosing only.
PRIOR_MM = 25.0
AXES = ("ahead", "left", "up", "roll", "pitch", "yaw")


def next_reading(frame: Frame, taken: Sequence[str], *, more: int = 1) -> tuple[tuple[str, float], ...]:
    """The readings that would tell most, given those that were taken.

    Args:
        frame: the part, the body, and every reading that may be taken.
        taken: codes of the readings that there are.
        more: how many to choose, one after the other.
    Returns: code and gain in nats, the most telling first; fewer where nothing more is to be had.
    Raises:
        GeometryError: an unknown code.

    Valid to first order about the nominal position, with 25 mm to begin with.
    Source: LINDLEY (expected gain of information, 0.5 ln(1 + h·C·hᵀ/u²))
    """
    import numpy as np

    every = [asked.code for asked in frame.asked]
    _expected, slopes = model_of(frame, every, np.eye(3), np.zeros(3))
    rows = {
        code: row[used_axes(frame)] / frame.find(code).uncertainty
        for code, row in zip(every, slopes, strict=True)
    }
    known = np.eye(len(used_axes(frame))) / PRIOR_MM**2
    for code in taken:
        known += np.outer(rows[frame.find(code).code], rows[code])
    found: list[tuple[str, float]] = []
    left = [code for code in every if code not in taken]
    for _number in range(min(more, len(left))):
        spread = np.linalg.inv(known)
        gains = {code: 0.5 * math.log1p(float(rows[code] @ spread @ rows[code])) for code in left}
        best = max(left, key=gains.__getitem__)
        found.append((best, gains[best]))
        left.remove(best)
        known += np.outer(rows[best], rows[best])
    return tuple(found)


def free_words(fit: Fit) -> Words | None:
    """What the readings leave open, in words.

    Args:
        fit: of the readings.
    Returns: the sentence; None where everything is pinned well.

    Valid for every fit. Source: HOUSE (the largest part of the loosest direction)
    """
    way, loose = fit.weakest
    if loose < LOOSE_MM:
        return None
    name = AXES[max(range(6), key=lambda i: abs(way[i]))]
    words = {
        "ahead": _("whether it stands forward or back"), "left": _("whether it stands left or right"),
        "up": _("how high it stands"), "roll": _("whether one side is up"),
        "pitch": _("whether front or rear is up"), "yaw": _("whether one side is forward"),
    }[name]  # fmt: skip
    if math.isinf(loose):
        return _("These readings do not say %(what)s; equal diagonals do not prove square", what=words)
    return _("These readings hardly say %(what)s", what=words)

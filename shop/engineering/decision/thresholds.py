"""The readings at which a verdict changes, as whole numbers: the decision rule handed out as data."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Any

from shop.engineering.decision.rules import MICRO, Rule, one_limit_multiple, two_limit_multiple
from shop.engineering.decision.uncertainty import (
    InstrumentData,
    expanded_canonical,
    quantity_from_json,
    quantity_json,
    reading_variance,
)
from shop.engineering.errors import DecisionError
from shop.engineering.limits.zone import Limits
from shop.engineering.quantities.measures import CANONICAL, UNITS, Quantity
from shop.engineering.words import say as _


class Verdict(StrEnum):
    """What a reading says about the work."""

    CONFORMS = "conforms"
    DOES_NOT_CONFORM = "does_not_conform"
    TOO_CLOSE = "too_close"


@dataclass(frozen=True)
class Thresholds:
    """Whole numbers of the canonical quantum `unit`; a reading on a threshold has passed it.

    A reading conforms when the limits are provable and it lies from accept_low to accept_high; else it
    does not conform from reject_low down and from reject_high up; else it is too close to call. None is
    no limit to that side. `suggested` is where to set or aim: provably inside, on the instrument's scale.
    """

    accept_low: int | None
    accept_high: int | None
    reject_low: int | None
    reject_high: int | None
    unit: str
    expanded_uncertainty: int
    guard: int | None
    rule_name: str
    rule_version: int
    provable: bool
    suggested: Quantity | None = None

    def judge(self, canonical: int) -> Verdict:
        """The verdict on a reading in canonical quanta."""
        if self.accepts(canonical):
            return Verdict.CONFORMS
        if (self.reject_low is not None and canonical <= self.reject_low) or (
            self.reject_high is not None and canonical >= self.reject_high
        ):
            return Verdict.DOES_NOT_CONFORM
        return Verdict.TOO_CLOSE

    def accepts(self, canonical: int) -> bool:
        """Whether a reading in canonical quanta proves that the limits are kept."""
        return (
            self.provable
            and (self.accept_low is None or canonical >= self.accept_low)
            and (self.accept_high is None or canonical <= self.accept_high)
        )

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data."""
        return {**{name: getattr(self, name) for name in _PLAIN}, "suggested": quantity_json(self.suggested)}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "Thresholds":
        """The thresholds that `as_json` wrote."""
        plain = {name: data[name] for name in _PLAIN}
        return cls(**plain, suggested=quantity_from_json(data["suggested"]))


_PLAIN = (
    *("accept_low", "accept_high", "reject_low", "reject_high", "unit", "expanded_uncertainty", "guard"),
    *("rule_name", "rule_version", "provable"),
)


def thresholds(limits: Limits, instrument: InstrumentData, rule: Rule) -> Thresholds:
    """The thresholds of limits for an instrument under a rule.

    Args:
        limits: what is asked.
        instrument: what it is read with; its permissible fraction is taken of the limit that is larger in
            magnitude, so that the thresholds do not hang on the reading.
        rule: how it is decided.
    Returns: the thresholds in canonical quanta; U = 2u rounded up, guard bands from u = U/2, rounded up.
    Raises:
        DecisionError: when the instrument measures another quantity.

    Valid for readings near the limits; far beyond them a permissible fraction would be larger, and the
    verdict the same. Source: ISO14253-1; JCGM106 8.3.2, 8.3.3
    """
    require_dimension(limits, instrument)
    variance = reading_variance(instrument, limits.largest.quanta)
    return thresholds_for(limits, variance, rule, instrument=instrument)


def thresholds_for(
    limits: Limits, variance: Fraction, rule: Rule, *, instrument: InstrumentData | None = None
) -> Thresholds:
    """The thresholds of limits for a variance under a rule.

    Args:
        limits: what is asked.
        variance: u² of one reading, canonical quanta squared.
        rule: how it is decided.
        instrument: on whose scale, and within whose range, `suggested` is to lie; None for no suggestion.
    Returns: the thresholds in canonical quanta.

    Valid for a normally distributed error. Source: ISO14253-1; JCGM106 8.3.2, 8.3.3
    """
    expanded = expanded_canonical(variance)
    low, high = limits.low_canonical, limits.high_canonical
    guard, beyond = acceptance_guard(low, high, expanded, rule), rejection_guard(expanded, rule)
    accept_low = None if low is None or guard is None else low + guard
    accept_high = None if high is None or guard is None else high - guard
    return Thresholds(
        accept_low=accept_low,
        accept_high=accept_high,
        reject_low=None if low is None else low - beyond,
        reject_high=None if high is None else high + beyond,
        unit=CANONICAL[limits.dimension],
        expanded_uncertainty=expanded,
        guard=guard,
        rule_name=rule.name,
        rule_version=rule.version,
        provable=guard is not None,
        suggested=None if instrument is None else _suggested(accept_low, accept_high, instrument),
    )


def require_dimension(limits: Limits, instrument: InstrumentData) -> None:
    """Refuse an instrument that measures something else than the limits are about.

    Args:
        limits: what is asked.
        instrument: what it is to be read with.
    Raises:
        DecisionError: in the user's words.

    Valid for every pair. Source: HOUSE (never compare different quantities)
    """
    if limits.dimension != instrument.dimension:
        raise DecisionError(
            _(
                "%(code)s measures %(measured)s, and “%(limits)s” limits %(limited)s",
                code=instrument.code,
                measured=instrument.dimension.label,
                limits=limits.text,
                limited=limits.dimension.label,
            )
        )


def acceptance_guard(low: int | None, high: int | None, expanded: int, rule: Rule) -> int | None:
    """How far inside the limits a reading must lie to prove them.

    Args:
        low: the lower limit in canonical quanta, None when there is none.
        high: the upper limit in canonical quanta, None when there is none.
        expanded: U in canonical quanta.
        rule: how it is decided.
    Returns: the guard band in canonical quanta, rounded up; None when nothing is left between the limits.

    Valid for a normally distributed error.
    Source: ISO14253-1; JCGM106 8.3.2 (a multiple of U), 8.3.3 (a probability)
    """
    width = None if low is None or high is None else high - low
    if rule.guard_of_u is not None or expanded == 0:
        guard = math.ceil((rule.guard_of_u or 0) * expanded)
    else:
        assert rule.probability is not None
        multiple: int | None = one_limit_multiple(rule.probability)
        if width is not None:
            multiple = two_limit_multiple(rule.probability, Fraction(2 * width, expanded))
        if multiple is None:
            return None
        guard = _of_u(multiple, expanded)
    return None if width is not None and 2 * guard > width else guard


def rejection_guard(expanded: int, rule: Rule) -> int:
    """How far beyond a limit a reading must lie to prove that the work does not conform.

    Args:
        expanded: U in canonical quanta.
        rule: how it is decided.
    Returns: the distance in canonical quanta, rounded up; the one for a single limit, with which the
        probability is reached for two limits as well.

    Valid for a normally distributed error. Source: ISO14253-1; JCGM106 8.3.2
    """
    if rule.guard_of_u is not None:
        return math.ceil(rule.guard_of_u * expanded)
    assert rule.probability is not None
    return _of_u(one_limit_multiple(rule.probability), expanded)


def _of_u(millionths: int, expanded: int) -> int:
    return -(-millionths * expanded // (2 * MICRO))


def _suggested(low: int | None, high: int | None, instrument: InstrumentData) -> Quantity | None:
    """The mark of the scale nearest the middle of the acceptance zone, or first inside its one limit."""
    resolution = instrument.resolution
    if resolution.value <= 0 or (low is None and high is None):
        return None
    step = UNITS[resolution.unit][1] * resolution.value
    first, last = _within_range(low, high, instrument)
    if low is None:
        assert last is not None
        count = math.floor(last / step)
    elif high is None:
        assert first is not None
        count = math.ceil(first / step)
    else:
        assert first is not None
        assert last is not None
        count = math.floor((first + last) / 2 / step + Fraction(1, 2))
    aim = Quantity(count * resolution.value, resolution.unit)
    is_inside = (low is None or aim.canonical >= low) and (high is None or aim.canonical <= high)
    return aim if is_inside and instrument.covers(aim) else None


def _within_range(
    low: int | None, high: int | None, instrument: InstrumentData
) -> tuple[Fraction | None, Fraction | None]:
    """The part of the acceptance zone that the instrument can show."""
    lows = [Fraction(low)] if low is not None else []
    highs = [Fraction(high)] if high is not None else []
    if instrument.range_low is not None:
        lows.append(instrument.range_low.quanta)
    if instrument.range_high is not None:
        highs.append(instrument.range_high.quanta)
    return max(lows, default=None), min(highs, default=None)

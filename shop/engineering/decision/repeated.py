"""Readings taken more than once, by different people or with different instruments, put together properly.

What an instrument is off stays the same however often it is read; what the eye is off does not. So its
permissible error and calibration count whole for every instrument, the resolution falls with the readings.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from shop.engineering.decision.judging import difference_limits, require_readable
from shop.engineering.decision.rules import Rule
from shop.engineering.decision.thresholds import Thresholds, Verdict, thresholds_for
from shop.engineering.decision.uncertainty import (
    InstrumentData,
    quantity_json,
    reading_variance,
    resolution_variance,
)
from shop.engineering.errors import DecisionError
from shop.engineering.limits import Limits
from shop.engineering.quantities.measures import Quantity, from_quanta
from shop.engineering.quantities.writer import rounded
from shop.engineering.words import Words
from shop.engineering.words import say as _

# Readings further apart than this many standard uncertainties of their difference have something else wrong.
DISAGREE = 3


@dataclass(frozen=True)
class Reading:
    """One reading with what it was taken with."""

    value: Quantity
    instrument: InstrumentData


@dataclass(frozen=True)
class Together:
    """What several readings say together.

    Attributes:
        mean: in canonical quanta, exact.
        variance: of the mean, canonical quanta squared, exact.
        unit: of the first reading.
        disagree: two of them are further apart than their uncertainties can explain.
    """

    mean: Fraction
    variance: Fraction
    unit: str
    disagree: bool

    @property
    def value(self) -> Quantity:
        return from_quanta(self.mean, self.unit)


@dataclass(frozen=True)
class RepeatedDecision:
    """A verdict on readings put together."""

    together: Together
    count: int
    limits: Limits
    thresholds: Thresholds
    rule: Rule

    @property
    def verdict(self) -> Verdict:
        """Readings that disagree prove nothing: something else is wrong with one of them."""
        if self.together.disagree:
            return Verdict.TOO_CLOSE
        return self.thresholds.judge(round(self.together.mean))

    @property
    def explanation(self) -> Words:
        parts = {
            "count": self.count,
            "mean": rounded(self.together.value),
            "limits": self.limits.describe(),
            "uncertainty": rounded(from_quanta(self.thresholds.expanded_uncertainty, self.limits.unit)),
        }
        if self.together.disagree:
            return _(
                "The %(count)d readings lie further apart than the instruments can explain: look for a slip, "
                "then read again",
                **parts,
            )
        sentences = {
            Verdict.CONFORMS: "%(count)d readings, %(mean)s together (±%(uncertainty)s), conform: %(limits)s",
            Verdict.DOES_NOT_CONFORM: (
                "%(count)d readings, %(mean)s together (±%(uncertainty)s), do not conform: %(limits)s"
            ),
            Verdict.TOO_CLOSE: (
                "%(count)d readings, %(mean)s together (±%(uncertainty)s), are too close to call: "
                "%(limits)s. Take a finer instrument, or ask the lead"
            ),
        }
        return _(sentences[self.verdict], **parts)

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data."""
        return {
            "kind": "repeated",
            "verdict": self.verdict.value,
            "count": self.count,
            "mean": quantity_json(self.together.value),
            "limits": self.limits.as_json(),
            "thresholds": self.thresholds.as_json(),
            "rule": self.rule.as_json(),
            "explanation": str(self.explanation),
        }


def put_together(readings: Sequence[Reading]) -> Together:
    """The mean of several readings and how far it may be off.

    Args:
        readings: of one quantity, at least one.
    Returns: within an instrument the plain mean; between instruments weighted by 1/variance.
    Raises:
        DecisionError: no reading, or a reading beyond its instrument's range or of another quantity.

    Variance of an instrument's mean: (MPE/√3)² + (U/2)² + (d²/12)/n. More readings never widen it.
    Valid for instruments within their calibration. Source: GUM 5.1.2 and F.1.2 (shared contributions)
    """
    if not readings:
        raise DecisionError(_("There is no reading"))
    for reading in readings:
        require_readable(reading.instrument, reading.value)
    means: list[tuple[Fraction, Fraction]] = []
    for code in dict.fromkeys(reading.instrument.code for reading in readings):
        means.append(_of_one_instrument([r for r in readings if r.instrument.code == code]))
    weights = [Fraction(1) / variance for _mean, variance in means]
    total = sum(weights, Fraction(0))
    mean = sum((m * w for (m, _v), w in zip(means, weights, strict=True)), Fraction(0)) / total
    return Together(mean, 1 / total, readings[0].value.unit, _disagree(readings))


def _of_one_instrument(readings: Sequence[Reading]) -> tuple[Fraction, Fraction]:
    values = [Fraction(reading.value.quanta) for reading in readings]
    mean = sum(values, Fraction(0)) / len(values)
    instrument = readings[0].instrument
    eye = resolution_variance(instrument.resolution.quanta)
    return mean, reading_variance(instrument, mean) - eye + eye / len(values)


def _disagree(readings: Sequence[Reading]) -> bool:
    return any(_apart(one, other) for n, one in enumerate(readings) for other in readings[n + 1 :])


def _apart(one: Reading, other: Reading) -> bool:
    """Of one instrument only the eye can differ, a division each way at most."""
    difference = abs(Fraction(one.value.quanta) - Fraction(other.value.quanta))
    if one.instrument.code == other.instrument.code:
        return difference > 2 * one.instrument.resolution.quanta
    variance = reading_variance(one.instrument, Fraction(one.value.quanta)) + reading_variance(
        other.instrument, Fraction(other.value.quanta)
    )
    return difference > Fraction(math.isqrt(math.ceil(DISAGREE**2 * variance)) + 1)


def decide_repeated(limits: Limits, readings: Sequence[Reading], rule: Rule) -> RepeatedDecision:
    """Judge several readings of one quantity together.

    Args:
        limits: what is asked; readings: all that were taken, none left out; rule: how it is decided.
    Returns: the decision.
    Raises:
        DecisionError: as `put_together`.

    Valid as `put_together` is. Source: ISO14253-1; JCGM106 8.3
    """
    together = put_together(readings)
    return RepeatedDecision(
        together, len(readings), limits, thresholds_for(limits, together.variance, rule), rule
    )


@dataclass(frozen=True)
class RepeatedPair:
    """A verdict on left and right, each read more than once, and on how far they are apart."""

    left: RepeatedDecision | None
    right: RepeatedDecision | None
    difference: RepeatedDecision | None
    disagree: bool
    rule: Rule

    @property
    def parts(self) -> dict[str, RepeatedDecision]:
        named = {"left": self.left, "right": self.right, "difference": self.difference}
        return {name: part for name, part in named.items() if part is not None}

    @property
    def verdict(self) -> Verdict:
        """As bad as its worst part. Readings that disagree prove nothing."""
        found = {part.verdict for part in self.parts.values()}
        if Verdict.DOES_NOT_CONFORM in found:
            return Verdict.DOES_NOT_CONFORM
        return Verdict.TOO_CLOSE if self.disagree or Verdict.TOO_CLOSE in found else Verdict.CONFORMS

    @property
    def explanation(self) -> str:
        titles = {"left": _("Left"), "right": _("Right"), "difference": _("Left and right")}
        return " ".join(f"{titles[name]}: {part.explanation}." for name, part in self.parts.items())

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data."""
        return {
            "kind": "repeated_pair",
            "verdict": self.verdict.value,
            **{f"{name}_together": part.as_json() for name, part in self.parts.items()},
            "rule": self.rule.as_json(),
            "explanation": self.explanation,
        }


def decide_repeated_pair(
    limits_each: Limits | None,
    equal: Limits | None,
    lefts: Sequence[Reading],
    rights: Sequence[Reading],
    rule: Rule,
) -> RepeatedPair:
    """Judge left and right that were both read several times: each against limits, and against each other.

    Args:
        limits_each: the limits of either side, None when they are only recorded.
        equal: what they may differ by, None when nothing is said.
        lefts: all readings of the left; rights: all of the right; rule: how it is decided.
    Returns: the decision, as bad as its worst part.
    Raises:
        DecisionError: as `put_together`.

    The variance of the difference is that of both means together.
    Valid as `put_together` is. Source: GUM 5.1.2; ISO14253-1
    """
    left, right = put_together(lefts), put_together(rights)
    disagree, count = left.disagree or right.disagree, len(lefts)
    apart = None
    if equal is not None:
        between = Together(
            left.mean - right.mean, left.variance + right.variance, equal.unit, disagree=disagree
        )
        limits = difference_limits(equal)
        apart = RepeatedDecision(between, count, limits, thresholds_for(limits, between.variance, rule), rule)
    sides = [
        None if limits_each is None else decide_repeated(limits_each, readings, rule)
        for readings in (lefts, rights)
    ]
    return RepeatedPair(sides[0], sides[1], apart, disagree, rule)

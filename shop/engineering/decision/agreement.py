"""Judging whether two persons found the same: a witness's own reading, and counts."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from shop.engineering.decision.judging import require_readable
from shop.engineering.decision.thresholds import Verdict
from shop.engineering.decision.uncertainty import (
    InstrumentData,
    expanded_canonical,
    quantity_json,
    reading_variance,
)
from shop.engineering.quantities.measures import Quantity, from_quanta
from shop.engineering.quantities.writer import brief, natural
from shop.engineering.words import Words
from shop.engineering.words import say as _


@dataclass(frozen=True)
class AgreementDecision:
    """Whether a witness's own reading bears the first one out."""

    first: Quantity
    second: Quantity
    difference: Quantity
    allowed: Quantity
    is_stated: bool

    @property
    def verdict(self) -> Verdict:
        agrees = abs(self.difference.canonical) <= self.allowed.canonical
        return Verdict.CONFORMS if agrees else Verdict.DOES_NOT_CONFORM

    @property
    def explanation(self) -> Words:
        parts = {
            "difference": brief(Quantity(abs(self.difference.value), self.difference.unit)),
            "allowed": natural(self.allowed) if self.is_stated else brief(self.allowed),
        }
        if self.verdict == Verdict.CONFORMS:
            return _("The two readings differ by %(difference)s and agree within %(allowed)s.", **parts)
        return _("The two readings differ by %(difference)s, more than %(allowed)s.", **parts)

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data."""
        return {
            "kind": "agreement",
            "verdict": self.verdict.value,
            "first": quantity_json(self.first),
            "second": quantity_json(self.second),
            "difference": quantity_json(self.difference),
            "allowed": quantity_json(self.allowed),
            "is_stated": self.is_stated,
            "explanation": str(self.explanation),
        }


def decide_agreement(
    first: Quantity,
    second: Quantity,
    instrument: InstrumentData,
    agree: Quantity | None = None,
    *,
    first_instrument: InstrumentData | None = None,
) -> AgreementDecision:
    """Judge whether two readings of one thing agree.

    Args:
        first: the first reading, from the rows of the record.
        second: the witness's own reading.
        instrument: what the witness read with.
        agree: what they may differ by; None takes the expanded uncertainty of their difference (k = 2).
        first_instrument: what the first was read with; the witness's instrument when None.
    Returns: the decision; a difference of just what is allowed agrees.
    Raises:
        DecisionError: when the readings or the instrument are about different quantities.
        QuantityError: when `agree` is about another quantity.

    Valid for two readings with independent errors.
    Source: GUM 5.1.2; ISO17043 (a difference within its expanded uncertainty, |E_n| ≤ 1)
    """
    require_readable(instrument, second)
    require_readable(first_instrument or instrument, first)
    difference = from_quanta(second.quanta - first.quanta, second.unit)
    if agree is not None:
        agree.to(second.unit)
        return AgreementDecision(first, second, difference, agree, is_stated=True)
    variance = reading_variance(instrument, second.quanta) + reading_variance(
        first_instrument or instrument, first.quanta
    )
    allowed = from_quanta(Fraction(expanded_canonical(variance)), second.unit)
    return AgreementDecision(first, second, difference, allowed, is_stated=False)


@dataclass(frozen=True)
class CountDecision:
    """Whether a count is the one that is asked."""

    expected: int
    counted: int

    @property
    def verdict(self) -> Verdict:
        return Verdict.CONFORMS if self.counted == self.expected else Verdict.DOES_NOT_CONFORM

    @property
    def explanation(self) -> Words:
        if self.verdict == Verdict.CONFORMS:
            return _("%(counted)d counted, as asked.", counted=self.counted)
        return _("%(counted)d counted, %(expected)d asked.", counted=self.counted, expected=self.expected)

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data."""
        return {
            "kind": "count",
            "verdict": self.verdict.value,
            "expected": self.expected,
            "counted": self.counted,
            "explanation": str(self.explanation),
        }


def decide_exact(expected: int, counted: int) -> CountDecision:
    """Judge a count, which is exact.

    Args:
        expected: how many there must be.
        counted: how many were counted.
    Returns: the decision.

    Valid for every count. Source: HOUSE (a count has no uncertainty)
    """
    return CountDecision(expected, counted)

"""Judging two readings together: left and right, first reader and witness; and counts."""

from dataclasses import dataclass
from typing import Any

from shop.engineering.decision.judging import Decision, decide, difference_limits, require_readable
from shop.engineering.decision.rules import Rule
from shop.engineering.decision.thresholds import Thresholds, Verdict, require_dimension, thresholds_for
from shop.engineering.decision.uncertainty import InstrumentData, quantity_json, reading_variance
from shop.engineering.limits.zone import Limits
from shop.engineering.quantities.measures import Quantity, from_quanta
from shop.engineering.quantities.writer import brief, natural, rounded
from shop.engineering.words import Words, gettext_noop
from shop.engineering.words import say as _

_WORST_FIRST = (Verdict.DOES_NOT_CONFORM, Verdict.TOO_CLOSE, Verdict.CONFORMS)


def worst(verdicts: list[Verdict]) -> Verdict:
    """The verdict on a whole: as bad as its worst part.

    Args:
        verdicts: those of the parts.
    Returns: does not conform before too close before conforms; conforms when there are none.

    Valid for every list. Source: HOUSE (a pair conforms when all of it does)
    """
    return next((verdict for verdict in _WORST_FIRST if verdict in verdicts), Verdict.CONFORMS)


@dataclass(frozen=True)
class Difference:
    """The verdict on the signed difference left − right."""

    verdict: Verdict
    value: Quantity
    limits: Limits
    thresholds: Thresholds

    @property
    def explanation(self) -> Words:
        parts = {
            "difference": brief(Quantity(abs(self.value.value), self.value.unit)),
            "limit": self.limits.text,
            "uncertainty": rounded(from_quanta(self.thresholds.expanded_uncertainty, self.limits.unit)),
        }
        if self.verdict == Verdict.CONFORMS:
            sentence = gettext_noop("Left and right differ by %(difference)s, which conforms: %(limit)s.")
        elif self.verdict == Verdict.DOES_NOT_CONFORM:
            sentence = gettext_noop(
                "Left and right differ by %(difference)s, which does not conform: %(limit)s."
            )
        else:
            sentence = gettext_noop(
                "Left and right differ by %(difference)s, too close to call: %(limit)s is asked, and the "
                "difference is known to ±%(uncertainty)s."
            )
        return _(sentence, **parts)

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data."""
        return {
            "verdict": self.verdict.value,
            "value": quantity_json(self.value),
            "limits": self.limits.as_json(),
            "thresholds": self.thresholds.as_json(),
            "explanation": str(self.explanation),
        }


@dataclass(frozen=True)
class PairDecision:
    """Left and right, each within limits and alike within another limit."""

    left: Quantity
    right: Quantity
    left_decision: Decision | None
    right_decision: Decision | None
    difference: Difference | None
    rule: Rule

    @property
    def _parts(self) -> "list[Decision | Difference]":
        parts = (self.left_decision, self.right_decision, self.difference)
        return [part for part in parts if part is not None]

    @property
    def verdict(self) -> Verdict:
        return worst([part.verdict for part in self._parts])

    @property
    def explanation(self) -> Words:
        """The sentences of all parts that decide the verdict."""
        deciding = [part.explanation for part in self._parts if part.verdict == self.verdict]
        if not deciding:
            return _(
                "Recorded: left %(left)s, right %(right)s.",
                left=natural(self.left),
                right=natural(self.right),
            )
        told = deciding[0]
        for sentence in deciding[1:]:
            told = _("%(one)s %(other)s", one=told, other=sentence)
        return told

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data."""
        return {
            "kind": "pair",
            "verdict": self.verdict.value,
            "left": quantity_json(self.left),
            "right": quantity_json(self.right),
            "left_decision": self.left_decision and self.left_decision.as_json(),
            "right_decision": self.right_decision and self.right_decision.as_json(),
            "difference": self.difference and self.difference.as_json(),
            "rule": self.rule.as_json(),
            "explanation": str(self.explanation),
        }


def equal_thresholds(equal: Limits, instrument: InstrumentData, at: Quantity, rule: Rule) -> Thresholds:
    """The thresholds of the signed difference of two readings of one instrument.

    Args:
        equal: what the two may differ by.
        instrument: what both are read with.
        at: about where both are read, for a permissible fraction of the reading.
        rule: how it is decided.
    Returns: the thresholds of left − right in canonical quanta.
    Raises:
        DecisionError: when the instrument measures another quantity.

    Valid for two readings with independent errors: u² is twice that of one. What the two have in common
    would cancel, so the thresholds are on the safe side. Source: GUM 5.1.2; ISO14253-1
    """
    require_dimension(equal, instrument)
    variance = 2 * reading_variance(instrument, at.quanta)
    return thresholds_for(difference_limits(equal), variance, rule)


def decide_pair(
    limits_each: Limits | None,
    equal_limit: Limits | None,
    instrument: InstrumentData,
    left: Quantity,
    right: Quantity,
    rule: Rule,
) -> PairDecision:
    """Judge left and right, each against limits and against each other.

    Args:
        limits_each: the limits of either side, None when they are only recorded.
        equal_limit: what they may differ by, None when nothing is said.
        instrument: what both were read with.
        left: the left reading.
        right: the right reading.
        rule: how it is decided.
    Returns: the decision, as bad as its worst part.
    Raises:
        DecisionError: as `decide`.

    Valid as `decide` and `equal_thresholds` are. Source: ISO14253-1; GUM 5.1.2
    """
    require_readable(instrument, left)
    require_readable(instrument, right)
    return PairDecision(
        left,
        right,
        None if limits_each is None else decide(limits_each, instrument, left, rule),
        None if limits_each is None else decide(limits_each, instrument, right, rule),
        None if equal_limit is None else _difference(equal_limit, instrument, left, right, rule),
        rule,
    )


def _difference(
    equal: Limits, instrument: InstrumentData, left: Quantity, right: Quantity, rule: Rule
) -> Difference:
    larger = max(left, right, key=lambda q: abs(q.quanta))
    found = equal_thresholds(equal, instrument, larger, rule)
    value = from_quanta(left.quanta - right.quanta, equal.unit)
    return Difference(found.judge(value.canonical), value, difference_limits(equal), found)

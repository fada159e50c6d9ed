"""Judging one reading against limits: the verdict, with everything it was made from."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from shop.engineering.decision.normal import conformance_probability
from shop.engineering.decision.rules import Rule
from shop.engineering.decision.thresholds import Thresholds, Verdict, thresholds
from shop.engineering.decision.uncertainty import InstrumentData, quantity_from_json, quantity_json
from shop.engineering.errors import DecisionError
from shop.engineering.limits.zone import Limits
from shop.engineering.quantities.measures import Quantity, from_quanta
from shop.engineering.quantities.writer import natural, rounded
from shop.engineering.words import Words, gettext_noop
from shop.engineering.words import say as _

_SENTENCES = {
    Verdict.CONFORMS: gettext_noop(
        "%(reading)s conforms: %(limits)s is proved with %(code)s (uncertainty ±%(uncertainty)s)."
    ),
    Verdict.DOES_NOT_CONFORM: gettext_noop(
        "%(reading)s does not conform: %(limits)s is asked, and %(code)s cannot be that far off "
        "(uncertainty ±%(uncertainty)s)."
    ),
    Verdict.TOO_CLOSE: gettext_noop(
        "%(reading)s is too close to the limit to call: %(limits)s is asked, and %(code)s may be off by "
        "±%(uncertainty)s. Read it again, let another person read it, or take a better instrument."
    ),
}
_NEVER_PROVED = gettext_noop(
    "%(reading)s is too close to call: %(code)s (uncertainty ±%(uncertainty)s) can never prove %(limits)s. "
    "Take a better instrument."
)
_WITHOUT_GUARD = {
    Verdict.CONFORMS: gettext_noop(
        "%(reading)s conforms as read: %(limits)s (the uncertainty of %(code)s, ±%(uncertainty)s, is not "
        "taken off)."
    ),
    Verdict.DOES_NOT_CONFORM: gettext_noop(
        "%(reading)s does not conform as read: %(limits)s is asked (the uncertainty of %(code)s, "
        "±%(uncertainty)s, is not taken off)."
    ),
}


@dataclass(frozen=True)
class Decision:
    """A verdict on one reading, with all that it rests on."""

    verdict: Verdict
    reading: Quantity
    limits: Limits
    thresholds: Thresholds
    rule: Rule
    instrument: InstrumentData

    @property
    def probability(self) -> float:
        """How likely the true value is to lie within the limits."""
        return conformance_probability(
            float(self.reading.canonical),
            self.thresholds.expanded_uncertainty / 2,
            low=_float(self.limits.low_canonical),
            high=_float(self.limits.high_canonical),
        )

    @property
    def explanation(self) -> Words:
        """The verdict in a sentence, in the unit of the limits."""
        unit = self.limits.unit
        parts = {
            "reading": natural(self.reading),
            "limits": self.limits.describe(),
            "code": self.instrument.code,
            "uncertainty": rounded(from_quanta(self.thresholds.expanded_uncertainty, unit)),
        }
        return _(self._sentence, **parts)

    @property
    def _sentence(self) -> str:
        if self.thresholds.guard == 0:
            return _WITHOUT_GUARD[self.verdict]
        if self.verdict == Verdict.TOO_CLOSE and not self.thresholds.provable:
            return _NEVER_PROVED
        return _SENTENCES[self.verdict]

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data: what was entered exactly, the canonical integers, rule and version."""
        return {
            "kind": "reading",
            "verdict": self.verdict.value,
            "reading": quantity_json(self.reading),
            "limits": self.limits.as_json(),
            "thresholds": self.thresholds.as_json(),
            "rule": self.rule.as_json(),
            "instrument": self.instrument.as_json(),
            "expanded_uncertainty": self.thresholds.expanded_uncertainty,
            "guard": self.thresholds.guard,
            "conformance_probability": f"{self.probability:.4f}",
            "explanation": str(self.explanation),
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "Decision":
        """The decision that `as_json` wrote."""
        reading = quantity_from_json(data["reading"])
        assert reading is not None
        return cls(
            Verdict(data["verdict"]),
            reading,
            Limits.from_json(data["limits"]),
            Thresholds.from_json(data["thresholds"]),
            Rule.from_json(data["rule"]),
            InstrumentData.from_json(data["instrument"]),
        )


def _float(value: int | None) -> float | None:
    return None if value is None else float(value)


def require_readable(instrument: InstrumentData, reading: Quantity) -> None:
    """Refuse a reading that the instrument cannot have given.

    Args:
        instrument: what it was read with.
        reading: what was entered.
    Raises:
        DecisionError: for another quantity, or a value beyond the instrument's range.

    Valid for every reading. Source: HOUSE (a reading beyond the scale is a slip)
    """
    if reading.dimension != instrument.dimension:
        raise DecisionError(
            _(
                "%(reading)s is %(dimension)s; %(code)s measures %(measured)s",
                reading=natural(reading),
                dimension=reading.dimension.label,
                code=instrument.code,
                measured=instrument.dimension.label,
            )
        )
    if not instrument.covers(reading):
        raise DecisionError(
            _(
                "%(reading)s is outside the range of %(code)s, %(range)s",
                reading=natural(reading),
                code=instrument.code,
                range=range_text(instrument),
            )
        )


def range_text(instrument: InstrumentData) -> Words:
    """The range of an instrument in words.

    Args:
        instrument: its figures.
    Returns: "20 lbf·ft to 150 lbf·ft", "up to 16 ft", "from 0°".

    Valid for every instrument. Source: HOUSE (as its certificate writes it)
    """
    low, high = instrument.range_low, instrument.range_high
    if low is not None and high is not None:
        return _("%(low)s to %(high)s", low=natural(low), high=natural(high))
    if high is not None:
        return _("up to %(high)s", high=natural(high))
    return _("from %(low)s", low=natural(low)) if low is not None else _("any value")


def decide(limits: Limits, instrument: InstrumentData, reading: Quantity, rule: Rule) -> Decision:
    """Judge one reading.

    Args:
        limits: what is asked.
        instrument: what it was read with. A click wrench gives no reading: its setting stands for one.
        reading: what was read, in any unit of the dimension.
        rule: how it is decided.
    Returns: the decision, with all that it rests on.
    Raises:
        DecisionError: when reading, instrument and limits are not about the same quantity, or the reading
            is beyond the instrument's range.

    Valid as `thresholds` is. Source: ISO14253-1; JCGM106 8.3
    """
    found = thresholds(limits, instrument, rule)
    require_readable(instrument, reading)
    return Decision(found.judge(reading.canonical), reading, limits, found, rule, instrument)


def difference_limits(equal: Limits) -> Limits:
    """Limits of a signed difference, from what two sides may differ by.

    Args:
        equal: "≤ 1/16 in", or limits with both sides.
    Returns: −1/16 in to 1/16 in; limits with a lower side as they are.

    Valid for every limit. Source: HOUSE (left and right may differ either way)
    """
    if equal.low is not None or equal.high is None:
        return equal
    return Limits(
        Quantity(Fraction(0), equal.unit),
        Quantity(-equal.high.value, equal.unit),
        equal.high,
        equal.text,
        equal.unit,
    )

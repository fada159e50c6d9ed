"""Whether an instrument can prove a limit at all, and measures of how well."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from shop.engineering.decision.judging import range_text
from shop.engineering.decision.pairs import equal_thresholds
from shop.engineering.decision.rules import Rule
from shop.engineering.decision.thresholds import Thresholds, thresholds
from shop.engineering.decision.uncertainty import InstrumentData
from shop.engineering.limits.zone import Limits
from shop.engineering.quantities.measures import Quantity, from_quanta
from shop.engineering.quantities.writer import natural, rounded
from shop.engineering.words import Words, gettext_noop
from shop.engineering.words import say as _


@dataclass(frozen=True)
class Capability:
    """Whether a limit can be proved, how wide it is against the uncertainty, and what to tell people."""

    provable: bool
    ratio: Fraction | None
    sentence: Words
    thresholds: Thresholds | None = None

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data."""
        return {
            "provable": self.provable,
            "ratio": None if self.ratio is None else f"{float(self.ratio):.2f}",
            "sentence": str(self.sentence),
            "thresholds": self.thresholds and self.thresholds.as_json(),
        }


def can_prove(limits: Limits, instrument: InstrumentData, rule: Rule) -> Capability:
    """Whether any reading of an instrument can prove that limits are kept.

    Args:
        limits: what is asked.
        instrument: what it would be read with.
        rule: how it is decided.
    Returns: yes or no, the measurement capability index T/(2U) (None for one limit or no uncertainty), a
        sentence.

    Valid as `thresholds` is. Source: JCGM106 7.6.3; ISO14253-1
    """
    if limits.dimension != instrument.dimension:
        return Capability(
            False,
            None,
            _(
                "%(code)s measures %(measured)s and cannot prove “%(limits)s”.",
                code=instrument.code,
                measured=instrument.dimension.label,
                limits=limits.text,
            ),
        )
    found = thresholds(limits, instrument, rule)
    parts = {
        "code": instrument.code,
        "limits": limits.describe(),
        "uncertainty": rounded(from_quanta(found.expanded_uncertainty, limits.unit)),
        "range": range_text(instrument),
        "aim": natural(found.suggested) if found.suggested else "",
    }
    sentence, provable = _sentence(limits, instrument, found)
    return Capability(provable, capability_index(limits, found), _(sentence, **parts), found)


def _sentence(limits: Limits, instrument: InstrumentData, found: Thresholds) -> tuple[str, bool]:
    if not found.provable:
        return gettext_noop(
            "%(code)s can never prove %(limits)s: its uncertainty is ±%(uncertainty)s, too much for that."
        ), False
    if not _is_in_range(limits, instrument, found):
        return gettext_noop("%(code)s cannot prove %(limits)s: its range is %(range)s."), False
    if found.suggested is None:
        return gettext_noop(
            "%(code)s can prove %(limits)s (uncertainty ±%(uncertainty)s), between the marks of its scale."
        ), True
    return gettext_noop("%(code)s can prove %(limits)s (uncertainty ±%(uncertainty)s); aim at %(aim)s."), True


def _is_in_range(limits: Limits, instrument: InstrumentData, found: Thresholds) -> bool:
    """Whether some part of the acceptance zone lies within the instrument's range."""
    lowest = None if instrument.range_low is None else instrument.range_low.canonical
    highest = None if instrument.range_high is None else instrument.range_high.canonical
    low, high = found.accept_low, found.accept_high
    return (lowest is None or high is None or high >= lowest) and (
        highest is None or low is None or low <= highest
    )


def can_prove_equal(equal: Limits, instrument: InstrumentData, at: Quantity, rule: Rule) -> Capability:
    """Whether two readings of an instrument can prove that left and right are alike.

    Args:
        equal: what they may differ by.
        instrument: what both would be read with.
        at: about where both are read.
        rule: how it is decided.
    Returns: as `can_prove`.

    Valid as `equal_thresholds` is. Source: JCGM106 7.6.3; GUM 5.1.2
    """
    if equal.dimension != instrument.dimension:
        return can_prove(equal, instrument, rule)
    found = equal_thresholds(equal, instrument, at, rule)
    parts = {
        "code": instrument.code,
        "limit": equal.text,
        "uncertainty": rounded(from_quanta(found.expanded_uncertainty, equal.unit)),
    }
    if found.provable:
        sentence = gettext_noop(
            "%(code)s can prove a difference of %(limit)s (uncertainty of it ±%(uncertainty)s)."
        )
    else:
        sentence = gettext_noop(
            "%(code)s can never prove a difference of %(limit)s: two readings are known to "
            "±%(uncertainty)s against each other."
        )
    return Capability(found.provable, capability_index(equal, found), _(sentence, **parts), found)


def capability_index(limits: Limits, found: Thresholds) -> Fraction | None:
    """The measurement capability index C_m = T/(2U) of thresholds.

    Args:
        limits: two limits at the distance T.
        found: their thresholds, with U.
    Returns: the index; None for one limit or no uncertainty.

    Valid for two limits. Source: JCGM106 7.6.3
    """
    if limits.width is None or found.expanded_uncertainty == 0:
        return None
    return uncertainty_ratio(limits.width, found.expanded_uncertainty)


def uncertainty_ratio(width: Fraction | int, expanded: Fraction | int) -> Fraction:
    """The test uncertainty ratio: width of the limits over the width of the uncertainty.

    Args:
        width: distance of the two limits, any unit.
        expanded: U (k = 2, 95 %) in the same unit, above 0.
    Returns: width / (2 U).

    Valid for two limits. Source: Z540-3; JCGM106 7.6.3 (C_m = T/(4u))
    """
    return Fraction(width) / (2 * Fraction(expanded))

"""Decision rules: how much of the limits is given away for what the instrument does not know."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any

from shop.engineering.decision.normal import conformance_probability, normal_share

MICRO = 10**6


@dataclass(frozen=True)
class Rule:
    """A decision rule. Either `probability` or `guard_of_u` says how wide the guard band is.

    probability: the work conforms, or does not, with at least that probability.
    guard_of_u: the guard band as a multiple of the expanded uncertainty U (k = 2).
    """

    name: str
    version: int = 1
    probability: Fraction | None = None
    guard_of_u: Fraction | None = None

    def __post_init__(self) -> None:
        if (self.probability is None) == (self.guard_of_u is None):
            raise ValueError("a rule has a probability or a multiple of U")
        if self.probability is not None and not Fraction(1, 2) < self.probability < 1:
            raise ValueError("the probability of a rule lies between one half and one")
        if self.guard_of_u is not None and self.guard_of_u < 0:
            raise ValueError("a guard band is not negative")

    def as_json(self) -> dict[str, Any]:
        """The rule as plain data."""
        return {
            "name": self.name,
            "version": self.version,
            "probability": None if self.probability is None else str(self.probability),
            "guard_of_u": None if self.guard_of_u is None else str(self.guard_of_u),
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "Rule":
        """The rule that `as_json` wrote."""
        probability, multiple = data["probability"], data["guard_of_u"]
        return cls(
            str(data["name"]),
            int(data["version"]),
            None if probability is None else Fraction(probability),
            None if multiple is None else Fraction(multiple),
        )


ISO_14253_95 = Rule("ISO 14253-1, 95 %", probability=Fraction(95, 100))
EXPANDED_UNCERTAINTY = Rule("expanded uncertainty", guard_of_u=Fraction(1))
SIMPLE_ACCEPTANCE = Rule("simple acceptance", guard_of_u=Fraction(0))
RULES = {rule.name: rule for rule in (ISO_14253_95, EXPANDED_UNCERTAINTY, SIMPLE_ACCEPTANCE)}


def rule_named(name: str) -> Rule:
    """The rule of that name.

    Args:
        name: a name in `RULES`.
    Returns: the rule.
    Raises:
        ValueError: for an unknown name.

    Valid for the names in `RULES`. Source: ISO14253-1; ILAC-G8; JCGM106 8.3
    """
    if name not in RULES:
        raise ValueError(f"there is no decision rule “{name}”; there are: {'; '.join(RULES)}")
    return RULES[name]


@lru_cache(maxsize=1024)
def one_limit_multiple(probability: Fraction) -> int:
    """How many millionths of u a reading must lie inside one limit.

    Args:
        probability: of conformance, above 1/2 and below 1.
    Returns: the smallest whole number m with Phi(m/10⁶) ≥ probability: 1,644,854 for 95 %.

    Valid up to a probability of 1 − 10⁻¹². Source: JCGM106 8.3.3; ISO14253-1 (95 %)
    """
    return _smallest(lambda m: normal_share(m / MICRO) >= probability, 8 * MICRO)


@lru_cache(maxsize=1024)
def two_limit_multiple(probability: Fraction, width_of_u: Fraction) -> int | None:
    """How many millionths of u a reading must lie inside either of two limits.

    Args:
        probability: of conformance, above 1/2 and below 1.
        width_of_u: the distance of the limits divided by u.
    Returns: the smallest whole number m, not beyond the middle, at which both limits together are kept
        with the probability; None when not even the middle reaches it.

    Valid up to a probability of 1 − 10⁻¹². Source: JCGM106 7.4, 8.3.3
    """
    width = float(width_of_u)

    def is_enough(m: int) -> bool:
        return conformance_probability(m / MICRO, 1, low=0, high=width) >= probability

    middle = min(int(width_of_u * MICRO / 2), 8 * MICRO)
    return _smallest(is_enough, middle) if is_enough(middle) else None


def _smallest(is_enough: Callable[[int], bool], enough: int) -> int:
    """The smallest whole number from 0 that is enough, where `enough` is and none below a wrong one."""
    wrong, right = -1, enough
    while right - wrong > 1:
        middle = (wrong + right) // 2
        if is_enough(middle):
            right = middle
        else:
            wrong = middle
    return right

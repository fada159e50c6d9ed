"""What a measured value must lie between, as an instruction states it."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from shop.engineering.errors import LimitsError
from shop.engineering.quantities.measures import Dimension, Quantity
from shop.engineering.quantities.writer import natural
from shop.engineering.words import Words
from shop.engineering.words import say as _


def between(low: str | None, high: str | None) -> Words:
    """What a value must lie between, in words, where each limit is written already.

    Args:
        low: the lower limit as text; high: the upper; None where there is none, never both.
    Returns: "29 7/16 in to 29 9/16 in", "at most 1/8 in", "at least 60 min".

    Valid for every limit. Source: HOUSE (words)
    """
    if low is None:
        return _("at most %(high)s", high=high)
    if high is None:
        return _("at least %(low)s", low=low)
    return _("%(low)s to %(high)s", low=low, high=high)


@dataclass(frozen=True)
class Limits:
    """A lower limit, an upper limit or both, exact, with the text that states them.

    Both limits and the nominal are in `unit`. `default_applied` says that the text gave no tolerance and
    the shop's default was taken.
    """

    nominal: Quantity | None
    low: Quantity | None
    high: Quantity | None
    text: str
    unit: str
    default_applied: bool = False

    def __post_init__(self) -> None:
        if self.low is None and self.high is None:
            raise LimitsError(_("“%(text)s” limits nothing", text=self.text))
        if self.low is not None and self.high is not None and self.low.quanta > self.high.quanta:
            raise LimitsError(
                _(
                    "“%(text)s”: the lower limit %(low)s is above the upper limit %(high)s",
                    text=self.text,
                    low=natural(self.low),
                    high=natural(self.high),
                )
            )

    @property
    def dimension(self) -> Dimension:
        return Quantity(Fraction(0), self.unit).dimension

    @property
    def low_canonical(self) -> int | None:
        return None if self.low is None else self.low.canonical

    @property
    def high_canonical(self) -> int | None:
        return None if self.high is None else self.high.canonical

    @property
    def width(self) -> Fraction | None:
        """The exact width of the zone in canonical quanta; None when it is open to one side."""
        if self.low is None or self.high is None:
            return None
        return self.high.quanta - self.low.quanta

    @property
    def largest(self) -> Quantity:
        """The limit that is larger in magnitude."""
        return max((q for q in (self.low, self.high) if q is not None), key=lambda q: abs(q.quanta))

    def describe(self) -> Words:
        """The limits in words, in the unit that the text is in.

        Returns: "29 7/16 in to 29 9/16 in", "at most 1/8 in", "at least 60 min"; a default is named.

        Valid for every limit. Source: HOUSE (a default tolerance is shown as such)
        """
        low, high = (None if q is None else natural(q) for q in (self.low, self.high))
        told = between(low, high)
        return _("%(limits)s (the shop's default tolerance)", limits=told) if self.default_applied else told

    def as_json(self) -> dict[str, Any]:
        """All of it as plain data, values as exact rationals and as canonical integers."""
        return {
            "text": self.text,
            "unit": self.unit,
            "dimension": self.dimension.value,
            "nominal": _exact(self.nominal),
            "low": _exact(self.low),
            "high": _exact(self.high),
            "low_canonical": self.low_canonical,
            "high_canonical": self.high_canonical,
            "default_applied": self.default_applied,
        }

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> "Limits":
        """The limits that `as_json` wrote."""
        unit = str(data["unit"])

        def quantity(name: str) -> Quantity | None:
            return None if data[name] is None else Quantity(Fraction(data[name]), unit)

        return cls(
            quantity("nominal"),
            quantity("low"),
            quantity("high"),
            str(data["text"]),
            unit,
            bool(data["default_applied"]),
        )


def _exact(q: Quantity | None) -> str | None:
    return None if q is None else str(q.value)

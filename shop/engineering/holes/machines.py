"""The speeds that a machine has, and which of them to set."""

from collections.abc import Sequence
from dataclasses import dataclass

from shop.engineering.errors import QuantityError
from shop.engineering.holes.spindle import require_above_nothing
from shop.engineering.words import Words
from shop.engineering.words import say as _


@dataclass(frozen=True)
class SpindleSetting:
    """What to set on a machine.

    Attributes:
        wanted_rpm: worked out.
        set_rpm: the machine's speed to take: the nearest that is not above it, else its slowest.
        is_too_fast: even the slowest turns faster than wanted.
    """

    wanted_rpm: float
    set_rpm: int
    is_too_fast: bool

    @property
    def sentence(self) -> Words:
        if self.is_too_fast:
            return _(
                "The machine's slowest speed, %(set)d a minute, is above the %(wanted)d that the tool wants: "
                "let it rest often, use coolant, or take another machine",
                set=self.set_rpm,
                wanted=round(self.wanted_rpm),
            )
        return _(
            "Set %(set)d a minute; %(wanted)d is the most", set=self.set_rpm, wanted=round(self.wanted_rpm)
        )


def set_on_machine(wanted_rpm: float, machine_rpm: Sequence[int]) -> SpindleSetting:
    """The speed to set on a machine that has only certain speeds: rather too slow than too fast.

    Args:
        wanted_rpm: above 0.
        machine_rpm: the speeds that it has, at least one, above 0.
    Returns: the setting.
    Raises:
        QuantityError: no speed is given, or one is not above nothing.

    Valid for any machine. Source: HOUSE (common practice, no source)
    """
    if not machine_rpm:
        raise QuantityError(_("Say which speeds the machine has"))
    require_above_nothing(wanted_rpm, *machine_rpm)
    slower = [speed for speed in machine_rpm if speed <= wanted_rpm]
    return SpindleSetting(wanted_rpm, max(slower, default=min(machine_rpm)), not slower)


def parse_speeds(text: str) -> tuple[int, ...]:
    """The speeds of a machine as people write them.

    Args:
        text: `400, 800, 1200`, or `100…850` for one that turns at any speed between.
    Returns: turns a minute, the slowest first; of a range each ten between its ends.
    Raises:
        QuantityError: nothing is given, or something that is no speed above nothing.

    Valid for 1 to 30000 a minute. Source: HOUSE (what stands on machines)
    """
    words = [word for word in text.replace(",", " ").split() if word]
    ends = [word for word in text.replace("...", "…").replace("-", "…").split("…") if word.strip()]
    is_range = len(ends) == 2
    found = [int(word) for word in (map(str.strip, ends) if is_range else words) if _is_speed(word)]
    if not found or len(found) != len(ends if is_range else words) or (is_range and found[0] >= found[1]):
        raise QuantityError(_("Write the speeds like 400, 800, 1200, or 100…850"))
    if is_range:
        return (*range(found[0], found[1], 10), found[1])
    return tuple(sorted(set(found)))


def _is_speed(word: str) -> bool:
    return word.isascii() and word.isdecimal() and len(word) <= 5 and 0 < int(word) <= 30_000

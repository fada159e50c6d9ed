"""Medians of what a client of the site waits for, alternating, so that a slow moment hits both alike."""

import gc
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from statistics import median

ROUNDS = 15


@dataclass(frozen=True)
class Ratio:
    """One line of the bench: what was measured beside what, in milliseconds, and the aim."""

    what: str
    ours_ms: float
    bare_ms: float
    aim: float

    @property
    def ratio(self) -> float:
        return self.ours_ms / self.bare_ms

    def __str__(self) -> str:
        word = "within" if self.ratio <= self.aim else "over"
        return (
            f"{self.what:<58} {self.ours_ms:8.1f} ms {self.bare_ms:8.1f} ms"
            f" {self.ratio:6.2f}x  {word} {self.aim:g}x"
        )


def compare(what: str, ours: Callable[[], object], bare: Callable[[], object], *, aim: float) -> Ratio:
    """Both by turns; the first round warms up and is not counted."""
    ours(), bare()
    gc.collect()
    pairs = [(_took_ms(ours), _took_ms(bare)) for _n in range(ROUNDS)]
    return Ratio(what, median(a for a, _b in pairs), median(b for _a, b in pairs), aim)


def medians_of_each(
    sites: dict[str, Callable[[], object]], asks: dict[str, Callable[[], object]]
) -> dict[str, dict[str, float]]:
    """The median of each on several sites by turns; each is asked once uncounted after going over to it.

    Args:
        sites: goes over to a site, by its name.
    """
    gc.collect()
    rounds: dict[str, list[dict[str, float]]] = {name: [] for name in sites}
    for _n in range(ROUNDS):
        for name, go_over in sites.items():
            go_over()
            for ask in asks.values():
                ask()
            rounds[name].append(dict(_each(asks)))
    return {
        name: {ask: median(took[ask] for took in of_site) for ask in asks} for name, of_site in rounds.items()
    }


def _each(asks: dict[str, Callable[[], object]]) -> Iterator[tuple[str, float]]:
    for name, ask in asks.items():
        yield name, _took_ms(ask)


def _took_ms(ask: Callable[[], object]) -> float:
    begun = time.perf_counter()
    ask()
    return (time.perf_counter() - begun) * 1000

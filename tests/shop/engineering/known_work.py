"""How long something takes beside work of a known size, which a slow machine takes longer for as well."""

import time
from collections.abc import Callable
from fractions import Fraction
from typing import Any

SUMS = 1_000


def sums_of_fractions() -> Fraction:
    """A thousand of them, of which a computation at the tablet is made: some milliseconds."""
    total = Fraction(0)
    for n in range(1, SUMS + 1):
        total = (total + Fraction(n, 64)) % 7
    return total


def times_known_work(work: Callable[[], Any]) -> float:
    """How many thousand sums of fractions it takes the processor; the best of five of both, by turns."""
    pairs = [(_processor_s(work), _processor_s(sums_of_fractions)) for _turn in range(5)]
    return min(ours for ours, _known in pairs) / min(known for _ours, known in pairs)


def _processor_s(work: Callable[[], Any]) -> float:
    """Of this process, whatever else the machine does."""
    began = time.process_time()
    work()
    return time.process_time() - began

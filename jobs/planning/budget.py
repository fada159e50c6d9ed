"""How long a search may go on: by the clock, or by work that is counted the same on every machine."""

import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Limits:
    """What a search may take.

    `seconds` of the clock, or `work` in CP-SAT's deterministic seconds (with which the same seed gives
    the same plan, on one worker), or both. `workers` are threads of the solver. `stop` is asked all the time;
    True ends the search within a second with the best so far.
    """

    seconds: float | None = 10.0
    work: float | None = None
    workers: int = 2
    seed: int = 1
    stop: Callable[[], bool] | None = None


class Budget:
    """What is left of the limits while a search runs."""

    def __init__(self, limits: Limits) -> None:
        self.limits = limits
        self.began = time.monotonic()
        self.spent = 0.0

    def work(self, amount: float) -> None:
        self.spent += amount

    @property
    def seconds_spent(self) -> float:
        return time.monotonic() - self.began

    @property
    def seconds_left(self) -> float:
        if self.limits.seconds is None:
            return float("inf")
        return self.limits.seconds - self.seconds_spent

    @property
    def work_left(self) -> float:
        return float("inf") if self.limits.work is None else self.limits.work - self.spent

    @property
    def goes_on(self) -> bool:
        return not self.stopped and self.seconds_left > 0 and self.work_left > 0

    @property
    def stopped(self) -> bool:
        return self.limits.stop is not None and self.limits.stop()

    def share(self, part: float, at_most: float) -> "Callable[[], bool]":
        """Whether a step goes on that may take this part of all, at most so many seconds."""
        if self.limits.work is not None:
            until = self.spent + min(self.limits.work * part, at_most)
            return lambda: self.spent < until and self.goes_on
        total = self.limits.seconds if self.limits.seconds is not None else at_most / part
        end = time.monotonic() + min(total * part, at_most)
        return lambda: time.monotonic() < end and self.goes_on

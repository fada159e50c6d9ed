"""How long work takes beside its standard time, learned from the shop's own history.

Times are treated by their logarithm: an operation takes its standard time, times a factor of the car,
times a factor of its own. Where there are few data a mean or spread is drawn towards its stage's, and the
stage's towards the shop's, as if the wider group had given `WEIGHT` further observations (partial pooling;
Gelman et al., Bayesian Data Analysis, 3rd ed., ch. 5). Nothing here says who did the work.
"""

import datetime as dt
import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from statistics import fmean
from types import MappingProxyType

# Before there is any history; common practice, no source.
FIRST_SIGMA, FIRST_CAR_SIGMA = 0.25, 0.15
WEIGHT = 6
# No work is exact, however alike it was so far.
LEAST_SIGMA = 0.05
# A clock left running, or never started, says nothing about the work.
SANE = (0.1, 10.0)


@dataclass(frozen=True, slots=True)
class Spread:
    """A factor on the standard time: its median is exp(`mu`), its logarithm spreads by `sigma`."""

    mu: float
    sigma: float

    @property
    def median(self) -> float:
        return math.exp(self.mu)


@dataclass(frozen=True, slots=True)
class Done:
    """An operation that was done: its kind (the same in every car), its stage, the car, minutes of work."""

    kind: str
    stage: str
    car: str
    standard_minutes: int
    took_minutes: int

    @property
    def log_factor(self) -> float:
        return math.log(self.took_minutes / self.standard_minutes)

    @property
    def is_sane(self) -> bool:
        if self.standard_minutes <= 0 or self.took_minutes <= 0:
            return False
        return SANE[0] <= self.took_minutes / self.standard_minutes <= SANE[1]


@dataclass(frozen=True)
class Spreads:
    """What was learned: by kind of operation, by stage, for the shop; and the factor that a car shares."""

    shop: Spread = Spread(0.0, FIRST_SIGMA)
    stages: Mapping[str, Spread] = field(default_factory=lambda: MappingProxyType({}))
    kinds: Mapping[str, Spread] = field(default_factory=lambda: MappingProxyType({}))
    car_sigma: float = FIRST_CAR_SIGMA
    count: int = 0

    def of(self, kind: str, stage: str) -> Spread:
        return self.kinds.get(kind) or self.stages.get(stage) or self.shop

    def widened(self, factor: float) -> "Spreads":
        """All spreads times a factor, as the score of earlier dates asks for."""
        return Spreads(
            shop=_times(self.shop, factor),
            stages={name: _times(one, factor) for name, one in self.stages.items()},
            kinds={name: _times(one, factor) for name, one in self.kinds.items()},
            car_sigma=self.car_sigma * factor,
            count=self.count,
        )


def learned(history: Iterable[Done]) -> Spreads:
    """What the history says; without any, the first guess."""
    rows = [one for one in history if one.is_sane]
    if not rows:
        return Spreads()
    car_sigma = _car_sigma(rows)
    shop = _towards(Spread(0.0, math.hypot(FIRST_SIGMA, FIRST_CAR_SIGMA)), [one.log_factor for one in rows])
    stages = {
        stage: _towards(shop, values) for stage, values in _grouped((o.stage, o.log_factor) for o in rows)
    }
    stage_of = {one.kind: one.stage for one in rows}
    kinds = {
        kind: _towards(stages[stage_of[kind]], values)
        for kind, values in _grouped((o.kind, o.log_factor) for o in rows)
    }
    return Spreads(
        _less(shop, car_sigma),
        {name: _less(one, car_sigma) for name, one in stages.items()},
        {name: _less(one, car_sigma) for name, one in kinds.items()},
        car_sigma,
        len(rows),
    )


def _towards(wider: Spread, values: list[float]) -> Spread:
    """The group's own mean and whole spread, drawn towards the wider group's."""
    n, mean = len(values), fmean(values)
    mu = (n * mean + WEIGHT * wider.mu) / (n + WEIGHT)
    squares = sum((value - mean) ** 2 for value in values)
    return Spread(mu, math.sqrt((squares + WEIGHT * wider.sigma**2) / (n + WEIGHT)))


def _less(spread: Spread, car_sigma: float) -> Spread:
    """What is left of a spread beside what the car shares."""
    own = max(LEAST_SIGMA**2, spread.sigma**2 - car_sigma**2)
    return Spread(spread.mu, math.sqrt(own))


def _grouped(pairs: Iterable[tuple[str, float]]) -> Iterable[tuple[str, list[float]]]:
    found: dict[str, list[float]] = defaultdict(list)
    for name, value in pairs:
        found[name].append(value)
    return found.items()


def _car_sigma(rows: list[Done]) -> float:
    """The factor that a car shares, by its variance between cars (one-way random effects analysis of
    variance; NIST/SEMATECH e-Handbook 7.4.3), drawn towards the first guess."""
    usual = {kind: fmean(values) for kind, values in _grouped((one.kind, one.log_factor) for one in rows)}
    cars = [values for _car, values in _grouped((o.car, o.log_factor - usual[o.kind]) for o in rows)]
    freedom = sum(len(values) - 1 for values in cars)
    if freedom == 0:
        return FIRST_CAR_SIGMA
    within = sum((value - fmean(values)) ** 2 for values in cars for value in values) / freedom
    between = sum(fmean(values) ** 2 - within / len(values) for values in cars)
    return math.sqrt((max(0.0, between) + WEIGHT * FIRST_CAR_SIGMA**2) / (len(cars) + WEIGHT))


def _times(spread: Spread, factor: float) -> Spread:
    return Spread(spread.mu, spread.sigma * factor)


@dataclass(frozen=True, slots=True)
class Delivery:
    """When a supplier said that parts come, and when they came."""

    supplier: str
    promised: dt.date
    came: dt.date

    @property
    def days_late(self) -> int:
        return max(0, (self.came - self.promised).days)


@dataclass(frozen=True, slots=True)
class Lateness:
    """How often a supplier is late, and by how many days on average when late (exponentially spread)."""

    chance: float
    days: float


# Before there is any history: one delivery in five is late, by five days; common practice, no source.
FIRST_LATENESS = Lateness(0.2, 5.0)


def lateness(deliveries: Iterable[Delivery]) -> tuple[Lateness, dict[str, Lateness]]:
    """For all suppliers together, and for each drawn towards that."""
    rows = list(deliveries)
    every = _late_towards(FIRST_LATENESS, [one.days_late for one in rows])
    by_supplier: dict[str, list[int]] = defaultdict(list)
    for one in rows:
        by_supplier[one.supplier].append(one.days_late)
    return every, {name: _late_towards(every, days) for name, days in by_supplier.items()}


def _late_towards(wider: Lateness, days: list[int]) -> Lateness:
    late = [one for one in days if one > 0]
    chance = (len(late) + WEIGHT * wider.chance) / (len(days) + WEIGHT)
    return Lateness(chance, (sum(late) + WEIGHT * wider.days) / (len(late) + WEIGHT))


# Of looks by a second person, how many fail before there is history; common practice, no source.
FIRST_FAILS = 0.05


def fail_chance(*, looks: int, failed: int) -> float:
    """The chance that a second person's look fails: the share so far, drawn towards the first guess."""
    return (failed + 20 * FIRST_FAILS) / (looks + 20)

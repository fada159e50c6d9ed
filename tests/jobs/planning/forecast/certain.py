"""What is known when nothing is uncertain, and a little more than that."""

from jobs.planning.forecast.draws import Draws, Uncertainty
from jobs.planning.forecast.spread import Lateness, Spread, Spreads

NEVER_LATE = Lateness(0.0, 1.0)
AS_PLANNED = Uncertainty(Spreads(Spread(0.0, 0.0), car_sigma=0.0), lateness=NEVER_LATE, fail_chance=0.0)


def spreading(sigma: float, *, car: float = 0.0, mu: float = 0.0) -> Uncertainty:
    """Work that spreads, and nothing else."""
    return Uncertainty(Spreads(Spread(mu, sigma), car_sigma=car), lateness=NEVER_LATE, fail_chance=0.0)


def draws(about: Uncertainty = AS_PLANNED, count: int = 400, seed: int = 3) -> Draws:
    return Draws(about, count, seed)

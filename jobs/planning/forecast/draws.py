"""Samples of what may happen: how long each operation takes, which looks fail, when parts come.

Each draw belongs to the identity of what is drawn, so that it does not depend on the order in which jobs
stand, and another question about the same shop meets the same luck (common random numbers).
"""

import zlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from jobs.planning.forecast.spread import FIRST_FAILS, FIRST_LATENESS, Lateness, Spread, Spreads
from jobs.planning.problem import Job, Operation

Minutes = npt.NDArray[np.int32]
Reals = npt.NDArray[np.float32]


@dataclass(frozen=True)
class Uncertainty:
    """What is known about how a plan may go.

    `kinds` names the kind of work of an operation, the same in every car; `suppliers` who sends what an
    operation waits for. A look that fails has `rework` of the operation's time done again.
    `fixed` takes its time exactly: a watch.
    """

    spreads: Spreads = field(default_factory=Spreads)
    kinds: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    lateness: Lateness = FIRST_LATENESS
    by_supplier: Mapping[str, Lateness] = field(default_factory=lambda: MappingProxyType({}))
    suppliers: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    fail_chance: float = FIRST_FAILS
    rework: float = 0.5
    fixed: frozenset[str] = frozenset()

    def spread_of(self, operation: Operation) -> Spread:
        return self.spreads.of(self.kinds.get(operation.id, ""), operation.stage)

    def lateness_of(self, operation: Operation) -> Lateness:
        return self.by_supplier.get(self.suppliers.get(operation.id, ""), self.lateness)


@dataclass(frozen=True)
class Draws:
    """So many samples, repeatable for a seed."""

    about: Uncertainty
    count: int
    seed: int = 0
    _cars: dict[str, Reals] = field(default_factory=dict, repr=False, compare=False)

    def minutes(self, job: Job, operation: Operation) -> Minutes:
        """Working minutes that the operation takes in each sample, a failed look's rework with it."""
        standard = operation.work_minutes
        if standard == 0 or operation.id in self.about.fixed:
            return np.full(self.count, standard, np.int32)
        spread = self.about.spread_of(operation)
        taken = self._normal(f"takes/{operation.id}")
        taken *= spread.sigma
        taken += spread.mu
        taken += self._of_car(job)
        np.exp(taken, out=taken)
        taken *= standard
        if operation.hold:
            taken = taken + self.fails(operation) * self.about.rework * standard
        whole: Minutes = np.maximum(1, np.rint(taken, out=taken), out=taken).astype(np.int32)
        return whole

    def _of_car(self, job: Job) -> Reals:
        """What a car adds to the logarithm of all its times."""
        if job.id not in self._cars:
            self._cars[job.id] = self.about.spreads.car_sigma * self._normal(f"car/{job.id}")
        return self._cars[job.id]

    def fails(self, operation: Operation) -> npt.NDArray[np.bool_]:
        """In which samples the look at a hold point fails."""
        return self._uniform(f"look/{operation.id}") < self.about.fail_chance

    def days_late(self, job: Job, operation: Operation) -> Minutes:
        """By how many whole days the parts of an operation are late; one delivery for a car and a day."""
        known = self.about.lateness_of(operation)
        supplier = self.about.suppliers.get(operation.id, "")
        name = f"parts/{job.id}/{supplier}/{operation.parts_at}"
        late = self._uniform(name) < known.chance
        days = np.ceil(-known.days * np.log1p(-self._uniform(f"{name}/days")))
        whole: Minutes = (late * days).astype(np.int32)
        return whole

    def _generator(self, name: str) -> np.random.Generator:
        return np.random.Generator(np.random.PCG64([self.seed, zlib.crc32(name.encode())]))

    def _normal(self, name: str) -> Reals:
        return self._generator(name).standard_normal(self.count, np.float32)

    def _uniform(self, name: str) -> Reals:
        return self._generator(name).random(self.count, np.float32)

"""The shop's solver: how long it may take, and the pure core that it stands on, imported where it is used."""

from dataclasses import dataclass

from django.conf import settings

from jobs.planning.plan import Proposal
from jobs.planning.problem import Problem
from jobs.plans.watching import Watch

# The whole model is solved up to about so many cars; beyond, parts of it are, which takes longer.
MANY_CARS = 16
LONGER = 2.5


@dataclass(frozen=True)
class ShopSolver:
    """Searches by the clock, or by work that is counted the same everywhere where `work` is given."""

    work: float | None = None

    def carried_on(self, problem: Problem) -> Proposal:
        from jobs.planning.search import repair

        return repair(problem)

    def searched(self, problem: Problem, watch: Watch | None = None) -> Proposal:
        from jobs.planning.budget import Limits
        from jobs.planning.search import search

        seconds = settings.PLAN_SECONDS * (LONGER if len(problem.jobs) > MANY_CARS else 1)
        stop = watch.stop if watch else None
        if self.work:
            within = Limits(work=self.work, seconds=None, workers=1, stop=stop)
        else:
            within = Limits(seconds=seconds, stop=stop)
        return search(problem, within, watch.tell if watch else None)

"""The shop played event by event, sample by sample, as it goes where it follows its plan.

`playing` has the rules, which are those of `outlook`; here nobody knows beforehand when what is under way
will end, and who goes first is seen when it comes to it. It takes seconds where that takes a part of one.
"""

import numpy as np

from jobs.planning.forecast.draws import Draws
from jobs.planning.forecast.hours import Clock, Times
from jobs.planning.forecast.playing import Played
from jobs.planning.forecast.shop_floor import Shop
from jobs.planning.plan import Plan
from jobs.planning.problem import MINUTES_A_DAY, Problem

SAMPLES = 500


def simulated(problem: Problem, plan: Plan, draws: Draws, clock: Clock | None = None) -> dict[str, Times]:
    """When each job is finished in every sample, in minutes from the midnight before now."""
    shop = Shop(problem, plan, clock or Clock(problem))
    took = [draws.minutes(link.job, link.operation) for link in shop.links]
    late = [
        draws.days_late(link.job, link.operation) if task.parts_at is not None else None
        for link, task in zip(shop.links, shop.tasks, strict=True)
    ]
    finish = np.zeros((len(problem.jobs), draws.count), np.int32)
    for sample in range(draws.count):
        minutes = [int(column[sample]) for column in took]
        parts = [0 if column is None else int(column[sample]) * MINUTES_A_DAY for column in late]
        for n, end in Played(shop, minutes, parts).ends():
            job = shop.tasks[n].job
            finish[job, sample] = max(finish[job, sample], end)
    return {job.id: finish[n] for n, job in enumerate(problem.jobs) if finish[n].any()}

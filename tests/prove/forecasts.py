"""The two forecasts of dates beside each other: all samples at once, and the shop played event by event.

    python -m tests.prove.forecasts FOLDER [NAME …]     shop-instance/1 files, each as the shop weighs it

Each problem is planned for eight seconds. The plan's dates are forecast by 5,000 draws at once and by 500
samples of the shop, without chance, with each source of it alone, and with all. Times are of the processor.
At the end stands how much memory a worker takes for the largest of them.
"""

import json
import os
import subprocess
import sys
import time
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np

from jobs.planning.budget import Limits
from jobs.planning.forecast.draws import Draws, Uncertainty
from jobs.planning.forecast.hours import Clock, Times
from jobs.planning.forecast.outlook import played
from jobs.planning.forecast.simulating import simulated
from jobs.planning.forecast.spread import Lateness, Spread, Spreads
from jobs.planning.plan import Plan
from jobs.planning.problem import MINUTES_A_DAY, SHOP, Problem
from jobs.planning.problem_files import read_problem
from jobs.planning.search import search

NEVER = Lateness(0.0, 1.0)
CERTAIN = Uncertainty(Spreads(Spread(0.0, 0.0), car_sigma=0.0), lateness=NEVER, fail_chance=0.0)
FIRST = Uncertainty()
SOURCES = {
    "no chance": CERTAIN,
    "work": replace(CERTAIN, spreads=Spreads(car_sigma=0.0)),
    "cars": replace(CERTAIN, spreads=Spreads(Spread(0.0, 0.0))),
    "looks": replace(CERTAIN, fail_chance=FIRST.fail_chance),
    "parts": replace(CERTAIN, lateness=FIRST.lateness),
    "all": FIRST,
}
AT_ONCE, SAMPLES = 5000, 500


def _days(finishes: Mapping[str, Times], share: float) -> dict[str, int]:
    return {
        job: int(np.quantile(times, share, method="higher")) // MINUTES_A_DAY
        for job, times in finishes.items()
    }


def prove(name: str, problem: Problem, plan: Plan) -> bool:
    clock, good = Clock(problem), True
    for what, about in SOURCES.items():
        certain = what == "no chance"
        began = time.process_time()
        quick = played(problem, plan, Draws(about, 1 if certain else AT_ONCE), clock).finish
        at_once, began = time.process_time() - began, time.process_time()
        thorough = simulated(problem, plan, Draws(about, 1 if certain else SAMPLES), clock)
        played_in = time.process_time() - began
        line = f"{name:6} {what:10}"
        for share in (0.5, 0.8):
            ours, theirs = _days(quick, share), _days(thorough, share)
            apart = np.array([ours[job] - theirs[job] for job in theirs])
            within = int(np.sum(np.abs(apart) <= 2))
            line += f" {within:4} of {len(apart):2} {apart.mean():+5.1f} {apart.min():+3d} {apart.max():+3d}"
        planned = {one.job: clock.minute(one.finish) // MINUTES_A_DAY for one in plan.jobs}
        later = np.array([_days(thorough, 0.5)[job] - planned[job] for job in thorough])
        good &= not certain or bool((later <= 0).all())
        print(f"{line} {later.mean():+6.1f} {at_once:8.2f} {played_in:7.2f}", flush=True)
    return good


def main(folder: Path, names: list[str]) -> int:
    print(f"{os.cpu_count()} processors, load before {os.getloadavg()[0]:.1f}")
    print("At P50 and at P80: cars whose dates are within two days of each other, of all; by how many days")
    print("at once is later on average, least, most. Then how much later than the plan at P50; seconds.")
    print("file   chance      P50: within  mean min max  P80: within  mean min max   plan  at once  played")
    good = True
    for name in names or ["s8-1", "s24-1", "s60-1"]:
        document = json.loads((folder / f"{name}.json").read_text(encoding="utf-8"))
        problem = replace(read_problem(document), weights=SHOP)
        good &= prove(name, problem, search(problem, Limits(8.0)).plan)
    largest = folder / f"{(names or ['s60-1'])[-1]}.json"
    worker = [sys.executable, "-m", "tests.prove.worker_memory", str(largest)]
    good &= subprocess.run(worker, check=False).returncode == 0
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), sys.argv[2:]))

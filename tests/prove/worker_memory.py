"""How much memory a worker takes that searches for a plan and forecasts its dates, in a process of its own.

    python -m tests.prove.worker_memory FILE [SECONDS]

A shop-instance/1 file. The worker's own modules are there, as Celery has them; then the search for so many
seconds and both forecasts, as a new plan has them. Said is the peak after each, in MB (Linux).
"""

import json
import os
import sys
from dataclasses import replace
from pathlib import Path

AIM_MB = 500
SECONDS = 30.0


def peak_mb() -> int:
    """The most of this process that was ever in memory."""
    lines = Path("/proc/self/status").read_text(encoding="utf-8").splitlines()
    return next(int(line.split()[1]) // 1024 for line in lines if line.startswith("VmHWM"))


def main(path: Path, seconds: float) -> int:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    import django

    django.setup()
    import jobs.tasks  # noqa: F401 - what a worker has loaded
    from jobs.planning.budget import Limits
    from jobs.planning.forecast.draws import Draws, Uncertainty
    from jobs.planning.forecast.hours import Clock
    from jobs.planning.forecast.outlook import outlooks
    from jobs.planning.forecast.simulating import simulated
    from jobs.planning.problem import SHOP
    from jobs.planning.problem_files import read_problem
    from jobs.planning.search import search
    from jobs.plans.forecasting import AT_ONCE

    samples = 500
    said = [f"before {peak_mb()}"]
    problem = replace(read_problem(json.loads(path.read_text(encoding="utf-8"))), weights=SHOP)
    plan = search(problem, Limits(seconds)).plan
    said.append(f"search {peak_mb()}")
    clock = Clock(problem)
    outlooks(problem, plan, Draws(Uncertainty(), AT_ONCE * samples), clock)
    said.append(f"at once {peak_mb()}")
    simulated(problem, plan, Draws(Uncertainty(), samples), clock)
    said.append(f"played {peak_mb()}")
    print(f"{path.stem}: peak memory of a worker in MB, aim {AIM_MB}: {', '.join(said)}")
    return 0 if peak_mb() <= AIM_MB else 1


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), float(sys.argv[2]) if len(sys.argv) > 2 else SECONDS))

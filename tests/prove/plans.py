"""Planning, proved at length: published projects and shop problems, read from a folder, with a report.

    python -m tests.prove.plans psplib FOLDER [TIMES]      single-mode .sm files, optima.csv beside them
    python -m tests.prove.plans shop_plans FOLDER [TIMES]  shop-instance/1 files, best_known.csv beside them

TIMES gives each search so many times its seconds, for a machine on which others work too. Every plan
goes through the checker; wall clock, processor time and the machine's load stand in the report.
"""

import csv
import json
import os
import resource
import sys
import time
from pathlib import Path

from jobs.planning.budget import Limits
from jobs.planning.checker import breaches
from jobs.planning.objective import objective_of
from jobs.planning.problem import Problem
from jobs.planning.problem_files import read_problem
from jobs.planning.psplib import read_project
from jobs.planning.search import search

SECONDS = {"j30": 10.0, "j60": 30.0, "s8": 5.0, "s12": 10.0, "s16": 10.0, "s24": 30.0, "s60": 30.0}
OTHERWISE = 30.0


def _known(path: Path, column: str) -> dict[str, int]:
    if not path.exists():
        return {}
    with path.open(newline="", encoding="utf-8") as rows:
        return {row["instance"].removesuffix(".sm"): int(row[column]) for row in csv.DictReader(rows)}


def _seconds(name: str) -> float:
    return next((seconds for start, seconds in SECONDS.items() if name.startswith(start)), OTHERWISE)


def _prove(name: str, problem: Problem, seconds: float, known: int | None) -> bool:
    """Searches, prints a line, and says whether the plan is good."""
    began, worked = time.monotonic(), time.process_time()
    heard: list[float] = []
    found = search(problem, Limits(seconds), lambda _: heard.append(time.monotonic() - began))
    wall, processor = time.monotonic() - began, time.process_time() - worked
    wrong = breaches(problem, found.plan)
    same = not wrong and objective_of(problem, found.plan) == found.objective
    above = f"{100 * (found.objective / known - 1):+6.2f} %" if known else "       -"
    bound = "proven" if found.proven else str(found.bound or "-")
    print(
        f"{name:12} {found.objective:8} {known or '-':>8} {above} {bound:>8}"
        f" {wall:6.1f} {processor:6.1f} {heard[-1] if heard else 0:6.1f} {'good' if same else 'BAD':>5}",
        flush=True,
    )
    for breach in wrong[:5]:
        print("   ", breach)
    return same


def main(kind: str, folder: Path, times: float) -> int:
    print(
        f"{os.cpu_count()} processors, load before {os.getloadavg()[0]:.1f}; two workers, from a fresh start"
    )
    if times != 1:
        print(f"others work here too: {times:g} times the aimed seconds; compare by processor time")
    print("file         objective    known    above    bound   wall    cpu   last  checker")
    good = True
    if kind == "psplib":
        known = _known(folder / "optima.csv", "optimum")
        for path in sorted(folder.glob("*.sm")):
            problem = read_project(path.read_text(encoding="utf-8"), path.stem)
            good &= _prove(path.stem, problem, times * _seconds(path.stem), known.get(path.stem))
    else:
        known = _known(folder / "best_known.csv", "objective")
        for path in sorted(folder.glob("*.json"), key=lambda one: one.stat().st_size):
            problem = read_problem(json.loads(path.read_text(encoding="utf-8")))
            good &= _prove(path.stem, problem, times * _seconds(path.stem), known.get(path.stem))
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(
        f"load after {os.getloadavg()[0]:.1f}; at most {most} MB; every plan good: {'yes' if good else 'NO'}"
    )
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], Path(sys.argv[2]), float(sys.argv[3]) if len(sys.argv) > 3 else 1.0))

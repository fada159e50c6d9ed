"""Planning, proved at length: published projects and shop problems, read from a folder, with a report.

    python -m tests.prove.plans psplib FOLDER [TIMES]      single-mode .sm files, optima.csv beside them
    python -m tests.prove.plans shop_plans FOLDER [TIMES]  shop-instance/1 files, best_known.csv beside them

TIMES gives each search so many times its seconds, for a machine on which others work too. Every plan
goes through the checker; wall clock, processor time and the machine's load stand in the report.
"""

import csv
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
from jobs.planning.psplib import UnreadableProjectError, read_project
from jobs.planning.reading import UnreadableError, document_of
from jobs.planning.search import search

SECONDS = {"j30": 10.0, "j60": 30.0, "s8": 5.0, "s12": 10.0, "s16": 10.0, "s24": 30.0, "s60": 30.0}
OTHERWISE = 30.0
# Where the best that is known stands, and in which column.
KNOWN = {"psplib": ("optima.csv", "optimum"), "shop_plans": ("best_known.csv", "objective")}


def _known(path: Path, column: str) -> dict[str, int]:
    if not path.exists():
        return {}
    with path.open(newline="", encoding="utf-8") as rows:
        found = {row.get("instance") or "": row.get(column) or "" for row in csv.DictReader(rows)}
    return {_stem(name): int(best) for name, best in found.items() if best.strip().isdecimal()}


def _stem(name: str) -> str:
    return name.lower().removesuffix(".sm").removesuffix(".json")


def _files(folder: Path, ending: str) -> list[Path]:
    return sorted(one for one in folder.iterdir() if one.suffix.lower() == ending and one.is_file())


def _seconds(name: str) -> float:
    return next((seconds for start, seconds in SECONDS.items() if name.lower().startswith(start)), OTHERWISE)


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
    files = _files(folder, ".sm" if kind == "psplib" else ".json")
    known = _known(folder / KNOWN[kind][0], KNOWN[kind][1])
    for path in sorted(files, key=lambda one: (kind != "psplib" and one.stat().st_size, one.name)):
        try:
            problem = _read(kind, path)
        except (UnreadableProjectError, UnreadableError) as error:
            print(f"{path.stem:12} cannot be read: {error}", flush=True)
            good = False
            continue
        good &= _prove(path.stem, problem, times * _seconds(path.stem), known.get(_stem(path.name)))
    if not files:
        print(f"there is no such file in {folder}")
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(
        f"load after {os.getloadavg()[0]:.1f}; at most {most} MB; every plan good: {'yes' if good else 'NO'}"
    )
    return 0 if good and files else 1


def _read(kind: str, path: Path) -> Problem:
    text = path.read_text(encoding="utf-8-sig", errors="replace")
    return read_project(text, path.stem) if kind == "psplib" else read_problem(document_of(text))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], Path(sys.argv[2]), float(sys.argv[3]) if len(sys.argv) > 3 else 1.0))

"""Single-mode projects drawn in the manner of the published ones, written as `.sm` files.

    python -m tests.prove.projects FOLDER [ACTIVITIES [EACH]]

Network complexity 1.5 to 2.1 (arcs for each activity), resource factor 0.25 to 1 (share of resources that an
activity takes), resource strength 0.2 to 1 (0: no more than one activity needs, 1: all that the earliest
start schedule takes at its peak). The parameters: R. Kolisch, A. Sprecher, A. Drexl, Characterization and
generation of a general class of resource-constrained project scheduling problems, Management Science 41
(1995), 1693-1703; the drawing is our own and simpler.
"""

import sys
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from random import Random

COMPLEXITIES, FACTORS, STRENGTHS = (1.5, 1.8, 2.1), (0.25, 0.5, 0.75, 1.0), (0.2, 0.5, 0.7, 1.0)
RESOURCES, MOST_ARCS = 4, 3


@dataclass(frozen=True)
class Project:
    """Activities from 1 (the source) to the last (the sink); a capacity for each resource."""

    durations: list[int]
    demands: list[list[int]]
    successors: list[set[int]]
    capacities: list[int]


def drawn(random: Random, count: int, complexity: float, factor: float, strength: float) -> Project:
    size = count + 2
    successors = _network(random, size, complexity)
    durations = [0, *(random.randint(1, 10) for _ in range(count)), 0]
    pairs = [(one, kind) for one in range(1, size - 1) for kind in range(RESOURCES)]
    taken = set(random.sample(pairs, round(factor * len(pairs))))
    demands = [
        [random.randint(1, 10) if (one, kind) in taken else 0 for kind in range(RESOURCES)]
        for one in range(size)
    ]
    capacities = [
        _capacity(durations, [row[kind] for row in demands], successors, strength)
        for kind in range(RESOURCES)
    ]
    return Project(durations, demands, successors, capacities)


def _network(random: Random, size: int, complexity: float) -> list[set[int]]:
    """Arcs from lower to higher numbers; at most three into and out of each, the ends left aside."""
    successors: list[set[int]] = [set() for _ in range(size)]
    into = [0] * size

    def join(one: int, other: int) -> bool:
        fits = other not in successors[one] and len(successors[one]) < MOST_ARCS and into[other] < MOST_ARCS
        if fits:
            successors[one].add(other)
            into[other] += 1
        return fits

    for one in range(1, MOST_ARCS + 1):
        join(0, one)
    for one in range(MOST_ARCS + 1, size - 1):
        while not into[one]:
            join(random.randrange(1, one), one)
    for one in range(1, size - 1):
        if not successors[one]:
            later = list(range(one + 1, size - 1))
            random.shuffle(later)
            if not any(join(one, other) for other in later):
                successors[one].add(size - 1)
    wanted = round(complexity * size)
    for _ in range(50 * size):
        if sum(map(len, successors)) >= wanted:
            break
        one, other = sorted(random.sample(range(1, size - 1), 2))
        join(one, other)
    return successors


def _capacity(durations: list[int], takes: list[int], successors: list[set[int]], strength: float) -> int:
    earliest = [0] * len(durations)
    for one, later in enumerate(successors):
        for other in later:
            earliest[other] = max(earliest[other], earliest[one] + durations[one])
    least = max(takes)
    peak = max(
        sum(t for t, at, d in zip(takes, earliest, durations, strict=True) if at <= now < at + d)
        for now in range(max(earliest) + 1)
    )
    return max(least, round(least + strength * (peak - least)))


def written(project: Project) -> str:
    """The project as the text of a `.sm` file."""
    size, line = len(project.durations), "*" * 72
    heads = "  ".join(f"R {kind + 1}" for kind in range(RESOURCES))
    rows = [line, "file with basedata            : drawn", line, f"jobs (incl. supersource/sink ):  {size}"]
    rows += ["RESOURCES", f"  - renewable                 :  {RESOURCES}   R", line]
    rows += ["PRECEDENCE RELATIONS:", "jobnr.    #modes  #successors   successors"]
    for number, later in enumerate(project.successors, 1):
        names = "".join(f"{one + 1:4}" for one in sorted(later))
        rows.append(f"{number:4}        1          {len(later)}        {names}")
    rows += [line, "REQUESTS/DURATIONS:", f"jobnr. mode duration  {heads}", "-" * 72]
    for number, (duration, takes) in enumerate(zip(project.durations, project.demands, strict=True), 1):
        rows.append(f"{number:3}      1   {duration:3}    " + "".join(f"{one:5}" for one in takes))
    rows += [line, "RESOURCEAVAILABILITIES:", f"  {heads}", "".join(f"{one:5}" for one in project.capacities)]
    return "\n".join([*rows, line, ""])


def main(folder: Path, count: int = 30, each: int = 1) -> int:
    folder.mkdir(parents=True, exist_ok=True)
    kinds = list(product(COMPLEXITIES, FACTORS, STRENGTHS))
    for number, (complexity, factor, strength) in enumerate(kinds, 1):
        hard = strength == min(STRENGTHS) and factor == max(FACTORS)
        for one in range(1, each + (4 if hard else 0) + 1):
            random = Random(f"{count} {number} {one}")
            text = written(drawn(random, count, complexity, factor, strength))
            (folder / f"j{count}{number}_{one}.sm").write_text(text, encoding="ascii")
    return 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), *map(int, sys.argv[2:])))

"""Projects of the published form through our own model: tiny ones whose optimum is worked out by hand."""

from collections.abc import Callable
from itertools import permutations
from random import Random

import pytest

from jobs.planning.psplib import UnreadableProjectError, read_project
from tests.jobs.planning.small_shop import planned
from tests.prove.projects import Project, drawn, written

HEAD = """file with basedata            : none
jobs (incl. supersource/sink ):  {jobs}
RESOURCES
  - renewable                 :  1   R
PROJECT INFORMATION:
pronr.  #jobs rel.date duedate tardcost  MPM-Time
    1     4      0       9        1        9
"""

# Three activities of 2, 3 and 4 periods take 1, 2 and 2 of 3 units, and the third comes after the first.
# By hand: the second and the third together would take 4 of 3, so they follow each other: 3 + 4 = 7 at least.
# Second 0 to 3 with first 0 to 2, third 3 to 7: 7 periods.
SMALL = (
    HEAD.format(jobs=5)
    + """PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        1          1           4
   3        1          1           5
   4        1          1           5
   5        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1
------------------------------------------------------------------------
  1      1     0       0
  2      1     2       1
  3      1     3       2
  4      1     4       2
  5      1     0       0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1
    {capacity}
"""
)


@pytest.mark.parametrize(("capacity", "makespan"), [(3, 7), (4, 6), (2, 9)])
def test_a_small_project_takes_as_long_as_by_hand(capacity: int, makespan: int) -> None:
    """With 4 units the critical path of 2 + 4 counts; with 2 all three follow each other."""
    found = planned(read_project(SMALL.format(capacity=capacity), "small"))
    assert (found.objective, found.proven, found.faults) == (makespan, True, ())


def test_another_text_is_refused_in_words() -> None:
    with pytest.raises(UnreadableProjectError, match="no single-mode project file"):
        read_project("hello", "x")


@pytest.mark.parametrize(
    "changed",
    [
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.replace(
            "   1        1          2           2   3", "   1  1  2  2\n              3"
        ),
        lambda text: text.replace("RESOURCEAVAILABILITIES:", "RESOURCE AVAILABILITIES :"),
        lambda text: "\n\n" + text.replace("PRECEDENCE RELATIONS:", "  PRECEDENCE RELATIONS:") + "\x1a",
    ],
)
def test_the_form_may_vary_in_what_says_nothing(changed: Callable[[str], str]) -> None:
    text = SMALL.format(capacity=3)
    assert changed(text) != text
    assert read_project(changed(text), "small") == read_project(text, "small")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("   2        1          1           4", "   2  2  1  4", "activity 2 has 2 modes"),
        ("   2        1          1           4", "   2  1  1  9", "activity 2 comes before 9"),
        ("   2        1          1           4", "   2  1  2  4", "more successors than it says"),
        ("  3      1     3       2", "  3      1     3       2  5", "activity 3 takes of 2 of 1 resources"),
        ("  3      1     3       2", "", "name different activities"),
        (
            "  3      1     3       2",
            "  3      1     3       2\n       2     5       1",
            "stands there twice",
        ),
        ("REQUESTS/DURATIONS:", "DURATIONS:", "there is no section “REQUESTS/DURATIONS”"),
        ("    3\n", "", "no resource has a capacity"),
        ("    3\n", "    99999\n", "1000 of a resource"),
    ],
)
def test_what_is_wrong_in_a_file_is_told(old: str, new: str, words: str) -> None:
    text = SMALL.format(capacity=3) + "\n"
    assert old in text
    with pytest.raises(UnreadableProjectError, match=words):
        read_project(text.replace(old, new, 1), "small")


def test_more_than_there_is_of_a_resource_is_told() -> None:
    found = planned(read_project(SMALL.format(capacity=1), "small"))
    assert "2: takes" not in "".join(map(str, found.faults))
    assert "takes 2 people with the skill “R1”, and there are 1" in str(found.faults[0])


@pytest.mark.parametrize(("count", "factor", "strength"), [(4, 1.0, 0.2), (5, 0.5, 0.5), (5, 1.0, 0.2)])
def test_a_drawn_project_takes_as_long_as_by_trying_all(count: int, factor: float, strength: float) -> None:
    """Every order in which the activities can be begun as soon as there is room: one of them is best."""
    for seed in range(3):
        project = drawn(Random(seed), count, 1.5, factor, strength)
        found = planned(read_project(written(project), "drawn"))
        assert (found.objective, found.proven) == (_by_trying(project), True)


def _by_trying(project: Project) -> int:
    """The shortest makespan of all serial schedules."""
    size = len(project.durations)
    before = [{one for one in range(size) if other in project.successors[one]} for other in range(size)]
    best = sum(project.durations)
    for order in permutations(range(1, size - 1)):
        ends, load = {0: 0}, [[0] * len(project.capacities) for _ in range(best + 11)]
        for one in order:
            if not before[one] <= ends.keys():
                break
            start = max(ends[other] for other in before[one] or {0})
            lasts, takes = project.durations[one], project.demands[one]
            while any(
                load[at][kind] + takes[kind] > room
                for at in range(start, min(start + lasts, len(load)))
                for kind, room in enumerate(project.capacities)
            ):
                start += 1
            ends[one] = start + lasts
            for at in range(start, min(ends[one], len(load))):
                load[at] = [a + b for a, b in zip(load[at], takes, strict=True)]
        else:
            best = min(best, max(ends.values()))
    return best

"""Projects of the published form through our own model: tiny ones whose optimum is worked out by hand."""

import pytest

from jobs.planning.psplib import UnreadableProjectError, read_project
from tests.jobs.planning.small_shop import planned

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

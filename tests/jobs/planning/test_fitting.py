"""Schedules put together from two are looked at before they are taken."""

import pytest

from jobs.planning.compiled import Compiled, Schedule
from jobs.planning.fitting import fits
from jobs.planning.improving import Best
from jobs.planning.preparing import prepared
from jobs.planning.problem import Pin, PinKind
from tests.jobs.planning.small_shop import bay, job, operation, person, shop


def scheduled() -> tuple[Compiled, Schedule]:
    """J1 in the morning, J2 in the other bay, all of it by one person; each task an hour, four slots."""
    problem = shop(
        job("J1", operation("a", 60), operation("b", 60, after=("a",))),
        job("J2", operation("c", 60)),
        bays=(bay("B1", "fab"), bay("B2", "fab")),
        people=(person("ann", "fab"),),
        pins=(Pin("1", PinKind.NEXT_UP, job="J1"),),
    )
    ready = prepared(problem, 1)
    assert ready.compiled
    return ready.compiled, Schedule([0, 4, 8], [4, 8, 12], [0, 0, 0], [0, 0])


def test_a_good_schedule_fits() -> None:
    assert fits(*scheduled())


@pytest.mark.parametrize(
    ("starts", "ends"),
    [
        ([4, 0, 8], [8, 4, 12]),  # b before a
        ([0, 4, 6], [4, 8, 10]),  # ann twice
        ([4, 8, 0], [8, 12, 4]),  # J2 goes in before J1, which is next up
    ],
)
def test_a_schedule_that_breaks_a_rule_does_not_fit(starts: list[int], ends: list[int]) -> None:
    compiled, schedule = scheduled()
    schedule.starts, schedule.ends = starts, ends
    assert not fits(compiled, schedule)


def test_what_was_found_from_an_older_best_is_laid_over_the_newer_one() -> None:
    compiled, _base = scheduled()
    late = Schedule([20, 30, 40], [24, 34, 44], [0, 0, 0], [0, 0])
    best = Best(late.copy(), 1000)
    newer = Schedule([20, 30, 36], [24, 34, 40], [0, 0, 0], [0, 0])
    best.take(compiled, newer)
    best.merge(compiled, late, Schedule([0, 4, 40], [4, 8, 44], [0, 0, 0], [0, 0]), [0, 1])
    assert best.schedule.starts == [0, 4, 36]

"""Pins that cannot all be honoured: the smallest set of them that clashes."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from jobs.planning.compiling import MOST_DAYS, Unplaceable, compiled_of, first_days
from jobs.planning.problem import Pin, Problem, Status
from jobs.planning.rules import Rules


def without_clashes(problem: Problem, seed: int) -> tuple[Problem, tuple[str, ...]]:
    """The problem without pins that clash, and the identities of the smallest set that does."""
    named: tuple[str, ...] = ()
    while problem.pins and not _honoured(problem, problem.pins, seed):
        clash = _smallest(problem, problem.pins, seed)
        named = named or tuple(pin.id for pin in clash)
        problem = replace(problem, pins=tuple(pin for pin in problem.pins if pin not in clash))
    return problem, named


def _smallest(problem: Problem, pins: Sequence[Pin], seed: int) -> tuple[Pin, ...]:
    """One alone, else two, else a set from which none can be taken away."""
    for size in (1, 2):
        for few in combinations(pins, size):
            if not _honoured(problem, few, seed):
                return few
    kept = list(pins)
    for pin in pins:
        rest = [one for one in kept if one is not pin]
        if not _honoured(problem, rest, seed):
            kept = rest
    return tuple(kept)


def _honoured(problem: Problem, pins: Sequence[Pin], seed: int) -> bool:
    """Whether a schedule is found for the cars of these pins alone that honours them."""
    jobs = {pin.job for pin in pins} | {
        problem.job_of[pin.operation].id for pin in pins if pin.operation in problem.job_of
    }
    touched = _alone(replace(problem, pins=tuple(pins), calm=None), jobs)
    if not any(one.status is not Status.DONE for one in touched.operations()):
        return True
    try:
        compiled = compiled_of(touched, min(MOST_DAYS, 2 * first_days(touched)))
    except Unplaceable:
        return False
    return Rules(compiled, seed).first() is not None


def _alone(problem: Problem, jobs: set[str]) -> Problem:
    """The problem with those cars only, and the pins as they are."""
    kept = tuple(job for job in problem.jobs if job.id in jobs)
    return replace(problem, jobs=kept)

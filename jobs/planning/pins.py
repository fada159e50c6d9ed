"""Pins that cannot all be honoured: the smallest set of them that clashes."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import combinations
from math import comb

from jobs.planning.assembling import plan_of
from jobs.planning.compiling import MOST_DAYS, Unplaceable, compiled_of, first_days
from jobs.planning.pin_check import pin_breaches
from jobs.planning.problem import Pin, Problem, Status
from jobs.planning.rules import Rules

# What the solver may do for one set of pins where the rules fail, and how many sets of a size are tried.
WORK, MOST_TRIED = 0.5, 300


def without_clashes(problem: Problem, seed: int, whole: bool = False) -> tuple[Problem, tuple[str, ...]]:
    """The problem without pins that clash, and the identities of the smallest set that does.

    They are looked at with the cars that they are upon alone, or with the whole shop.
    """
    named: tuple[str, ...] = ()

    def honoured(pins: Sequence[Pin]) -> bool:
        return _honoured(problem, pins, seed, whole)

    while problem.pins and not honoured(problem.pins):
        clash = smallest(problem.pins, honoured)
        named = named or tuple(pin.id for pin in clash)
        problem = replace(problem, pins=tuple(pin for pin in problem.pins if pin not in clash))
    return problem, named


def smallest(pins: Sequence[Pin], honoured: Callable[[Sequence[Pin]], bool]) -> tuple[Pin, ...]:
    """A smallest set of pins that is not honoured, of pins that are not all together.

    Up to pairs each is tried. Then a set is looked for from which none can be taken away, and smaller ones
    than that as long as there are no more than a few hundred of them.
    """
    for size in (1, 2):
        for few in combinations(pins, size):
            if not honoured(few):
                return few
    kept = list(pins)
    for pin in pins:
        rest = [one for one in kept if one is not pin]
        if not honoured(rest):
            kept = rest
    for size in range(3, len(kept)):
        if comb(len(pins), size) > MOST_TRIED:
            break
        for few in combinations(pins, size):
            if not honoured(few):
                return few
    return tuple(kept)


def _honoured(problem: Problem, pins: Sequence[Pin], seed: int, whole: bool) -> bool:
    """Whether a plan is found, of the cars of these pins alone or of all of them, that honours them."""
    touched = replace(problem, pins=tuple(pins), calm=None)
    if not whole:
        jobs = {pin.job for pin in pins} | {
            problem.job_of[pin.operation].id for pin in pins if pin.operation in problem.job_of
        }
        touched = _alone(touched, jobs)
    if not any(one.status is not Status.DONE for one in touched.operations()):
        return True
    try:
        compiled = compiled_of(touched, min(MOST_DAYS, 2 * first_days(touched)))
    except Unplaceable:
        return False
    found = Rules(compiled, seed).first(WORK)
    return found is not None and not any(pin_breaches(touched, plan_of(compiled, found.schedule)))


def _alone(problem: Problem, jobs: set[str]) -> Problem:
    """The problem with those cars only, and the pins as they are."""
    kept = tuple(job for job in problem.jobs if job.id in jobs)
    return replace(problem, jobs=kept)

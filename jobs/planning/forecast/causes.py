"""What makes a car late: what lies on the way to its finish, counted by sample."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from jobs.planning.forecast.chain import Link, Why

if TYPE_CHECKING:
    from jobs.planning.forecast.outlook import Run

Bits = npt.NDArray[np.uint64]
WORD = 64
CAUSES_SHOWN = 5
# Before a name: held by the start of that operation, not by its end.
STARTS = ">"
LONGER = 1.1


@dataclass(frozen=True, slots=True)
class Cause:
    """What makes a car late: why, of what, and in which share of the late samples.

    For BAY `what` is the bay and `other` the job that has it, for PARTS `what` is the operation that waits
    for them, for PEOPLE the one for which nobody is free, for BEFORE the one whose work takes longer than
    its standard time.
    """

    why: Why
    what: str
    share: float
    other: str = ""


def causes(run: "Run") -> dict[str, tuple[Cause, ...]]:
    """What lies on the way to the finish of each late car, counted by sample (criticality index).

    Each job is one bit; from the last operation back, what held an operation takes its bits over. Only what
    was handed over and is still to be looked at is kept.
    """
    jobs = list(run.finish)
    of_bit = {job: number for number, job in enumerate(jobs)}
    words = (len(jobs) + WORD - 1) // WORD
    late = {job: _late(run, job) for job in jobs}
    counted: dict[str, dict[tuple[Why, str, str], int]] = {job: {} for job in jobs}
    critical: dict[str, Bits] = {}
    for link in reversed(run.links):
        job, name = link.job.id, link.operation.id
        word, bit = divmod(of_bit[job], WORD)
        last = (run.ends[name] == run.finish[job]) & late[job]
        if last.any():
            bits = np.zeros((words, run.draws.count), np.uint64)
            np.multiply(last, np.uint64(1 << bit), out=bits[word])
            _hand_over(critical, name, bits)
        _hand_back(run, link, critical, jobs, counted)
    return {job: tuple(_ranked(found, int(late[job].sum()))) for job, found in counted.items()}


def _late(run: "Run", job: str) -> npt.NDArray[np.bool_]:
    late = run.finish[job] > run.clock.minute(run.problem.job[job].due)
    return late if late.any() else np.ones_like(late)


def _hand_back(
    run: "Run",
    link: Link,
    critical: dict[str, Bits],
    jobs: list[str],
    counted: dict[str, dict[tuple[Why, str, str], int]],
) -> None:
    name = link.operation.id
    ended, starting = critical.pop(name, None), critical.pop(STARTS + name, None)
    mine = ended if starting is None else starting if ended is None else ended | starting
    if mine is None or not mine.any():
        return
    longer = run.took[name] > LONGER * link.operation.work_minutes
    if ended is not None:
        _count(_only(ended, longer), (Why.BEFORE, name, link.job.id), jobs, counted)
    if name in run.short:
        _count(_only(mine, run.short[name]), (Why.PEOPLE, name, link.job.id), jobs, counted)
    held, which = run.bound[name]
    for number, (why, what) in enumerate(held):
        part = mine if len(held) == 1 else _only(mine, which == number)
        if not part.any():
            continue
        if why is Why.PARTS:
            _count(part, (Why.PARTS, name, link.job.id), jobs, counted)
        elif why is Why.BAY and link.stay is not None:
            holder = run.problem.job_of[what.removeprefix(STARTS)].id
            _count(part, (Why.BAY, link.stay.bay, holder), jobs, counted)
        if what:
            _hand_over(critical, what, part)


def _hand_over(critical: dict[str, Bits], name: str, bits: Bits) -> None:
    """What made others late is made late by that operation."""
    critical[name] = critical[name] | bits if name in critical else bits


def _only(bits: Bits, flags: npt.NDArray[np.bool_]) -> Bits:
    """The bits of the samples in which the flag is set."""
    return np.multiply(bits, flags, dtype=np.uint64)


def _count(
    bits: Bits,
    key: tuple[Why, str, str],
    jobs: list[str],
    counted: dict[str, dict[tuple[Why, str, str], int]],
) -> None:
    for word, row in enumerate(bits):
        there = int(np.bitwise_or.reduce(row))
        while there:
            bit = (there & -there).bit_length() - 1
            there &= there - 1
            number = int(np.count_nonzero(row & np.uint64(1 << bit)))
            found = counted[jobs[word * WORD + bit]]
            found[key] = found.get(key, 0) + number


def _ranked(found: Mapping[tuple[Why, str, str], int], late: int) -> Iterable[Cause]:
    ranked = sorted(found.items(), key=lambda item: (-item[1], item[0]))[:CAUSES_SHOWN]
    return [Cause(why, what, min(1.0, count / late), other) for (why, what, other), count in ranked if late]

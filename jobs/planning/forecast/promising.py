"""The earliest date that can be promised to a new customer, and what would bring it forward."""

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from jobs.planning.forecast.draws import Draws, Uncertainty
from jobs.planning.forecast.outlook import Outlook, outlooks
from jobs.planning.plan import Plan
from jobs.planning.problem import MINUTES_A_DAY, Calendar, Job, Person, Problem, Shift

Planner = Callable[[Problem], Plan]
Change = Callable[[Problem, str], Problem]

SAMPLES = 1000
EVENING_MINUTES = 4 * 60
# A promise is touched when its chance falls by more than that.
TOUCHED = 0.05


@dataclass(frozen=True)
class Answer:
    """What can be promised: the day on which four samples of five are ready, and as likely as not.

    `touched` are other jobs whose promise would be kept less often because of the new car. `what` names
    what was tried; empty for the shop as it is.
    """

    what: str
    likely: dt.date
    safe: dt.date
    touched: tuple[str, ...] = ()

    def days_gained(self, usual: "Answer") -> int:
        return (usual.safe - self.safe).days


@dataclass(frozen=True)
class Trial:
    """Something that might bring a date forward: its name, and what it does to a problem for a job."""

    what: str
    change: Change


def earliest(
    problem: Problem,
    newcomer: Job,
    *,
    planner: Planner,
    about: Uncertainty,
    trials: Sequence[Trial] = (),
    seed: int = 0,
) -> list[Answer]:
    """The answer for the shop as it is, then for each trial.

    Args:
        newcomer: the new car with its kit's lead time in the `parts_at` of its operations.
        planner: makes a plan at once.
    """
    draws = Draws(about, SAMPLES, seed)
    before = outlooks(problem, planner(problem), draws)
    wanted = replace(problem, jobs=(*problem.jobs, newcomer))
    answers = []
    for trial in (Trial("", lambda same, _job: same), *trials):
        tried = trial.change(wanted, newcomer.id)
        after = outlooks(tried, planner(tried), draws)
        if newcomer.id in after:
            answers.append(_answer(trial.what, newcomer.id, before, after))
    return answers


def _answer(what: str, job: str, before: dict[str, Outlook], after: dict[str, Outlook]) -> Answer:
    touched = [
        name for name, was in before.items() if name in after and was.chance - after[name].chance > TOUCHED
    ]
    return Answer(what, after[job].p50.date(), after[job].p80.date(), tuple(touched))


def second_shift(problem: Problem, _job: str) -> Problem:
    """Everybody's calendar goes on for four hours in the evening of each working day."""
    return replace(problem, calendars=tuple(_longer(one) for one in problem.calendars))


def _longer(calendar: Calendar) -> Calendar:
    return replace(
        calendar,
        week=tuple(_with_evening(shifts) for shifts in calendar.week),
        exceptions={day: _with_evening(shifts) for day, shifts in calendar.exceptions.items()},
    )


def _with_evening(shifts: tuple[Shift, ...]) -> tuple[Shift, ...]:
    if not shifts:
        return shifts
    last = max(shift.ends for shift in shifts)
    ends = min(MINUTES_A_DAY, last + EVENING_MINUTES)
    return (*shifts, Shift(last, ends)) if ends > last else shifts


def another(skill: str) -> Change:
    """One more person with a skill, with the hours of somebody who has it."""

    def change(problem: Problem, _job: str) -> Problem:
        like = next((one for one in problem.people if one.ever_may(skill)), problem.people[0])
        more = Person(f"another/{skill}", frozenset({skill}), like.calendar)
        return replace(problem, people=(*problem.people, more))

    return change


def kit_earlier(days: int) -> Change:
    """The kit of the new car comes so many days earlier, but not before now."""

    def change(problem: Problem, job: str) -> Problem:
        sooner = dt.timedelta(days=days)
        moved = [
            replace(one, parts_at=max(problem.now, one.parts_at - sooner)) if one.parts_at else one
            for one in problem.job[job].operations
        ]
        changed = replace(problem.job[job], operations=tuple(moved))
        return replace(problem, jobs=tuple(changed if one.id == job else one for one in problem.jobs))

    return change

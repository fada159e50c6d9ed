"""Questions to the plan: the earliest date for a new car; start a car with a short kit, or wait.

A question is a row that the worker answers; the page looks at the row. What lies about is sent again.
"""

import datetime as dt
import logging
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any
from uuid import UUID
from zoneinfo import ZoneInfo

from celery import current_app
from django.db import transaction
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext as _
from kombu.exceptions import OperationalError

from jobs.models import Job, PlanQuestion, ProcedureRevision, QuestionKind
from jobs.planning import problem as planning
from jobs.planning.problem import Problem
from jobs.plans.history import uncertainty_of
from jobs.plans.mapping import Mapped, problem_of
from jobs.plans.newcomer import NAME, newcomer
from jobs.plans.running import Solver
from jobs.plans.shop_state import ShopState
from shop.models import Person, ShopSettings

if TYPE_CHECKING:
    from jobs.planning.forecast.promising import Trial

log = logging.getLogger(__name__)

ANSWER_TASK = "plans.answer"
ATTEMPTS = 3
LEASE, QUEUED_TOO_LONG = dt.timedelta(seconds=120), dt.timedelta(seconds=20)
KEPT = dt.timedelta(days=30)
# The picture of blocked days: so many columns, each of as many days as it takes to show all.
COLUMNS = 20

Clock = Callable[[], dt.datetime]


class NoAnswerError(Exception):
    """It cannot be answered; the words say why, with the way out."""


def ask_earliest(
    revision: ProcedureRevision, *, kit_on: dt.date, by: Person, now: dt.datetime
) -> PlanQuestion:
    """Ask for the earliest date of a new car by a released procedure whose kit comes on a day."""
    return _ask(QuestionKind.EARLIEST, {"revision": revision.pk, "kit_on": kit_on.isoformat()}, by, now)


def ask_start_or_wait(job: Job, *, by: Person, now: dt.datetime) -> PlanQuestion:
    """Ask whether a car whose kit is short is started, waits, or lets another one go first."""
    return _ask(QuestionKind.START_OR_WAIT, {"job": job.number}, by, now)


def _ask(kind: str, asked: dict[str, Any], by: Person, now: dt.datetime) -> PlanQuestion:
    made = PlanQuestion.objects.create(kind=kind, asked=asked, asked_at=now, asked_by=by, sent_at=now)
    transaction.on_commit(lambda: send(made.pk), robust=True)
    return made


def send(question_id: UUID) -> None:
    current_app.send_task(ANSWER_TASK, args=[str(question_id)], retry=False, ignore_result=True)


def look_after(*, now: dt.datetime) -> None:
    """Send again what lies about, give up what was begun too often, throw away what is old."""
    open_ones = PlanQuestion.objects.filter(answer__isnull=True, failure="")
    lost = Q(lease_until__lt=now)
    open_ones.filter(lost, attempt__gte=ATTEMPTS).update(failure=_("It was begun too often; ask again"))
    waiting = Q(lease_until__isnull=True, sent_at__lt=now - QUEUED_TOO_LONG)
    for row in open_ones.filter(lost | waiting):
        try:
            send(row.pk)
        except OperationalError:
            log.warning("The queue cannot be reached; the question waits")
            return
        PlanQuestion.objects.filter(pk=row.pk).update(sent_at=now)
    PlanQuestion.objects.filter(asked_at__lt=now - KEPT).delete()


def work_out(question_id: UUID, *, clock: Clock, solver: Solver) -> None:
    """Answer a question, unless somebody does so already."""
    now = clock()
    free = Q(lease_until__isnull=True) | Q(lease_until__lt=now)
    open_ones = PlanQuestion.objects.filter(free, pk=question_id, answer__isnull=True, failure="")
    if not open_ones.update(attempt=F("attempt") + 1, lease_until=now + LEASE):
        return
    row = PlanQuestion.objects.get(pk=question_id)
    mine = PlanQuestion.objects.filter(pk=row.pk, attempt=row.attempt)
    answers = {QuestionKind.EARLIEST: _earliest, QuestionKind.START_OR_WAIT: _start_or_wait}
    try:
        with timezone.override(ZoneInfo(ShopSettings.current().zone)):
            state = ShopState.load(now=now)
            answer = answers[QuestionKind(row.kind)](row.asked, state, problem_of(state), solver)
    except NoAnswerError as none:
        mine.update(failure=str(none)[:300])
    except Exception as error:
        log.exception("%s: attempt %s failed", row, row.attempt)
        mine.update(failure=f"{type(error).__name__}: {error}"[:300])
    else:
        mine.update(answer=answer)


def _earliest(
    asked: dict[str, Any], state: ShopState, mapped: Mapped, solver: Solver
) -> list[dict[str, Any]]:
    from jobs.planning.forecast.promising import earliest

    revision = ProcedureRevision.objects.select_related("procedure").filter(pk=asked["revision"]).first()
    if revision is None:
        raise NoAnswerError(_("That procedure is not there any more"))
    job, work = newcomer(
        state, revision, kit_on=dt.date.fromisoformat(asked["kit_on"]), now=mapped.problem.now
    )
    whole = replace(
        mapped,
        whose={**mapped.whose, **work.whose},
        supplies={**mapped.supplies, NAME: work.supply},
    )
    answers = earliest(
        mapped.problem,
        job,
        planner=lambda problem: solver.carried_on(problem).plan,
        about=uncertainty_of(whole),
        trials=_trials(mapped.problem, job),
    )
    if not answers:
        raise NoAnswerError(
            _("It cannot be planned: nobody is certified for all of it, or no bay has what it takes")
        )
    return [
        {
            "what": one.what,
            "likely": one.likely.isoformat(),
            "safe": one.safe.isoformat(),
            "gained": one.days_gained(answers[0]),
            "touched": list(one.touched),
        }
        for one in answers
    ]


def _trials(problem: Problem, job: planning.Job) -> "list[Trial]":
    from jobs.planning.forecast.promising import Trial, another, kit_earlier, second_shift

    scarce = _scarce(problem, {one.skill for one in job.operations if one.skill})
    return [
        Trial(_("a second shift, four hours in the evening"), second_shift),
        *(Trial(_("one more for %(skill)s") % {"skill": skill}, another(skill)) for skill in scarce),
        Trial(_("the kit a week earlier"), kit_earlier(7)),
    ]


def _scarce(problem: Problem, wanted: set[str]) -> list[str]:
    """The skill of the work that the fewest people have; none where everybody has all of them."""
    held = {skill: sum(person.ever_may(skill) for person in problem.people) for skill in wanted}
    fewest = min(held.values(), default=0)
    if fewest == len(problem.people):
        return []
    return sorted(skill for skill, count in held.items() if count == fewest)[:1]


def _start_or_wait(
    asked: dict[str, Any], _state: ShopState, mapped: Mapped, solver: Solver
) -> list[dict[str, Any]]:
    import numpy as np

    from jobs.planning.forecast.waiting import prospects

    name = str(asked["job"])
    if name not in mapped.problem.job:
        raise NoAnswerError(_("Job %(job)s has nothing left to plan") % {"job": name})
    try:
        found = prospects(
            mapped.problem,
            name,
            planner=lambda problem: solver.carried_on(problem).plan,
            about=uncertainty_of(mapped),
        )
    except ValueError as error:
        words = {"job": name}
        if "bay already" in str(error):
            raise NoAnswerError(_("Job %(job)s cannot leave its bay any more") % words) from error
        raise NoAnswerError(_("Job %(job)s waits for no part; it may be started") % words) from error
    step = max(1, -(-int(max(one.blocked.max() for one in found)) // COLUMNS))
    return [
        {
            "step": step,
            "way": str(one.way),
            "expected": round(one.expected, 1),
            "most": round(one.likely_worst, 1),
            "likely": one.likely.isoformat(),
            "safe": one.safe.isoformat(),
            "kept": round(one.chance_kept, 3),
            "first": one.first,
            "days": np.bincount((np.rint(one.blocked).astype(int) // step), minlength=COLUMNS + 1).tolist(),
        }
        for one in found
    ]

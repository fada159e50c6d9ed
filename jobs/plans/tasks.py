"""What the worker runs for the plan. Either may run twice."""

from uuid import UUID

from celery import shared_task
from django.utils import timezone

from jobs.plans import asking, questions, running, solver


@shared_task(  # type: ignore[untyped-decorator]
    name="plans.search", acks_late=True, reject_on_worker_lost=True, ignore_result=True
)
def search(search_id: str) -> None:
    running.run(UUID(search_id), clock=timezone.now, solver=solver.ShopSolver())


@shared_task(name="plans.look_after", ignore_result=True)  # type: ignore[untyped-decorator]
def look_after() -> None:
    asking.look_after(now=timezone.now())
    questions.look_after(now=timezone.now())


@shared_task(  # type: ignore[untyped-decorator]
    name="plans.answer", acks_late=True, reject_on_worker_lost=True, ignore_result=True
)
def answer(question_id: str) -> None:
    questions.work_out(UUID(question_id), clock=timezone.now, solver=solver.ShopSolver())

"""What the workers run. Either may run twice."""

from uuid import UUID

from celery import Task, shared_task
from django.utils import timezone

from shop.documents import sweeping
from shop.documents.making import make


@shared_task(  # type: ignore[untyped-decorator]
    name="documents.render", bind=True, acks_late=True, reject_on_worker_lost=True, ignore_result=True
)
def render(self: Task, document_id: str) -> None:
    make(UUID(document_id), clock=timezone.now, worker=self.request.hostname or "")


@shared_task(name="documents.sweep", ignore_result=True)  # type: ignore[untyped-decorator]
def sweep() -> None:
    sweeping.sweep(now=timezone.now())

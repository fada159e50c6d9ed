"""What the workers run for the jobs. It may run twice."""

from celery import shared_task
from django.utils import timezone

from jobs.recording.turn_end import close_what_was_left


@shared_task(name="jobs.close_what_was_left", ignore_result=True)  # type: ignore[untyped-decorator]
def close_turns() -> None:
    """Time that nobody stopped does not run on through the night."""
    close_what_was_left(now=timezone.now())

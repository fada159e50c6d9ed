"""The first sweep, as soon as a worker is up: what its forerunner left lying need not wait for the clock."""

from typing import Any

from celery import bootsteps
from kombu.exceptions import OperationalError


class FirstSweep(bootsteps.StartStopStep):  # type: ignore[misc]
    """A step of the worker's start, before it begins to take tasks.

    Where the queue cannot be reached yet, the clock's sweep comes soon enough.
    """

    requires = {"celery.worker.components:Pool"}

    def start(self, worker: Any) -> None:
        try:
            worker.app.send_task("documents.sweep", retry=False, ignore_result=True)
        except OperationalError:
            return

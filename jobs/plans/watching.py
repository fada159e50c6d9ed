"""A search that goes on, looked at: how far it is, the best so far as a plan, and whether it is to stop.

The search runs in a thread of the worker; the thread of the task looks at it, writes what there is to
tell, and is the only one that touches the database. So the web process only ever reads rows.
"""

import datetime as dt
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass, field
from threading import Event

from django.db import transaction
from django.db.models import QuerySet

from jobs.models import PlanOrigin, PlanSearch, PlanState, SearchState, StoredPlan
from jobs.planning.plan import Proposal, SoFar
from jobs.plans.asking import PLAN_STREAM, RENEW_EVERY, holds, renew
from jobs.plans.mapping import Mapped
from jobs.plans.shop_state import ShopState
from jobs.plans.storing import store
from shop.events import append, lock_stream
from shop.models import Person

# It is looked at so often, and its best is stored as a plan that often at most: a whole plan is many rows.
LOOK_SECONDS = 1.0
STORE_EVERY = dt.timedelta(seconds=4)


@dataclass
class Watch:
    """What a search tells and asks while it goes on, from whatever thread it runs in."""

    latest: SoFar | None = None
    halt: Event = field(default_factory=Event)

    def tell(self, found: SoFar) -> None:
        self.latest = found

    def stop(self) -> bool:
        return self.halt.is_set()


@dataclass
class Looking:
    """Writes to the row of the search, and the best so far beside it."""

    search: PlanSearch
    mapped: Mapped
    state: ShopState
    told: SoFar | None = None
    stored: SoFar | None = None
    stored_at: dt.datetime | None = None
    renewed_at: dt.datetime | None = None

    def look(self, watch: Watch, now: dt.datetime) -> None:
        """One look: what is new is written; a stop that was asked for, or a lost row, is handed on."""
        if self.renewed_at is None or now - self.renewed_at >= RENEW_EVERY:
            renew(self.search, now=now)
            self.renewed_at = now
        found = watch.latest
        if found is not None and found is not self.told:
            self._progress(found, now)
        if not holds(self.search) or self._is_to_stop():
            watch.halt.set()
        elif found is not None and self._is_due(found, now):
            self._store(found, now)

    def _mine(self) -> "QuerySet[PlanSearch]":
        return PlanSearch.objects.filter(
            pk=self.search.pk, attempt=self.search.attempt, state=SearchState.IN_WORK
        )

    def _progress(self, found: SoFar, now: dt.datetime) -> None:
        better = self.told is None or found.objective < self.told.objective
        self._mine().update(best_objective=found.objective, best_bound=found.bound)
        if better:
            self._mine().update(best_at=now)
        self.told = found

    def _is_to_stop(self) -> bool:
        return self._mine().filter(stop_asked_at__isnull=False).exists()

    def _is_due(self, found: SoFar, now: dt.datetime) -> bool:
        if self.stored is None or self.stored_at is None:
            return True
        return found.objective < self.stored.objective and now - self.stored_at >= STORE_EVERY

    @transaction.atomic
    def _store(self, found: SoFar, now: dt.datetime) -> None:
        self.stored, self.stored_at = found, now
        proposal = found.make()
        if not proposal.plan.assignments or not holds(self.search):
            return
        StoredPlan.objects.so_far().delete()
        store(
            proposal,
            self.mapped,
            self.state,
            origin=PlanOrigin.SEARCHED,
            becomes=PlanState.SO_FAR,
            now=now,
            search=self.search,
        )


def watched(
    work: Callable[[Watch], Proposal],
    looking: Looking,
    *,
    clock: Callable[[], dt.datetime],
) -> Proposal:
    """What the work comes to, looked at while it goes on."""
    watch = Watch()
    with ThreadPoolExecutor(1, thread_name_prefix="search") as pool:
        running = pool.submit(work, watch)
        try:
            while not wait([running], timeout=LOOK_SECONDS).done:
                looking.look(watch, clock())
        finally:
            watch.halt.set()
        return running.result()


class NothingToStopError(Exception):
    """No search goes on that has found something yet."""


@transaction.atomic
def stop_search(*, by: Person, now: dt.datetime) -> PlanSearch:
    """Have the search that goes on stop and hand over the best that it has.

    Raises:
        NothingToStopError: none goes on, or it has nothing yet.
    """
    lock_stream(PLAN_STREAM)
    search = PlanSearch.objects.filter(state=SearchState.IN_WORK).first()
    if search is None or not search.may_stop:
        raise NothingToStopError
    search.stop_asked_at, search.stop_asked_by = now, by
    search.save(update_fields=["stop_asked_at", "stop_asked_by"])
    append(stream=PLAN_STREAM, kind="plan.stopped", data={"by": by.pk, "search": str(search.pk)}, now=now)
    return search

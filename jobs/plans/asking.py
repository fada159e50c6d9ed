"""Asking for a search: one row at a time, and a word to the worker. What asks again is added to the row."""

import datetime as dt
import logging
from collections.abc import Iterable
from uuid import UUID
from zoneinfo import ZoneInfo

from celery import current_app
from django.db import transaction
from django.db.models import F
from kombu.exceptions import OperationalError

from jobs.models import Job, PlanSearch, SearchState, StoredPlan
from jobs.plans.causes import in_order, is_overrun, new_causes
from shop.events import append, lock_stream
from shop.models import Event, Person, ShopSettings
from shop.working_time import DAYS

log = logging.getLogger(__name__)

SEARCH_TASK = "plans.search"
# The plan that the shop works by; a copy to try things out on would have another name after the stroke.
PLAN_STREAM = "plan/shop"
ATTEMPTS = 3
# Longer than any one step of a search takes; each renews it, and a worker that does not is dead.
LEASE, RENEW_EVERY = dt.timedelta(seconds=180), dt.timedelta(seconds=20)
QUEUED_TOO_LONG = dt.timedelta(seconds=30)
# Old searches say nothing any more.
KEPT_SEARCHES = 50


@transaction.atomic
def ask_for_search(
    causes: Iterable[str], *, now: dt.datetime, by: Person | None = None, up_to_event: int | None = None
) -> PlanSearch:
    """Ask for a search; while one waits to be begun, its causes are added to."""
    lock_stream(PLAN_STREAM)
    seen = _last_event() if up_to_event is None else up_to_event
    waiting = PlanSearch.objects.filter(state=SearchState.ASKED).first()
    if waiting is not None:
        waiting.causes = in_order([*waiting.causes, *causes])
        waiting.up_to_event = max(waiting.up_to_event, seen)
        waiting.save(update_fields=["causes", "up_to_event"])
        return waiting
    made = PlanSearch.objects.create(
        causes=in_order(causes), up_to_event=seen, asked_at=now, asked_by=by, sent_at=now
    )
    if by is not None:
        append(stream=PLAN_STREAM, kind="plan.asked", data={"by": by.pk, "search": str(made.pk)}, now=now)
    transaction.on_commit(lambda: send(made.pk), robust=True)
    return made


def send(search_id: UUID) -> None:
    current_app.send_task(SEARCH_TASK, args=[str(search_id)], retry=False, ignore_result=True)


def _last_event() -> int:
    return Event.objects.order_by("-pk").values_list("pk", flat=True).first() or 0


def look_after(*, now: dt.datetime) -> None:
    """Ask for a search where something has happened or a day has begun; send again what lies about.

    It may run at any time and twice.
    """
    _give_up(now)
    waiting = PlanSearch.objects.filter(state=SearchState.ASKED).first()
    if waiting is not None:
        _send_again(waiting, now)
        return
    if (
        PlanSearch.objects.filter(state=SearchState.IN_WORK).exists()
        or not Job.objects.on_the_floor().exists()
    ):
        return
    causes, up_to_event = new_causes(now=now)
    if is_overrun(now=now):
        causes = [*causes, "overrun"]
    if is_new_day(now=now):
        causes = [*causes, "day"]
    if causes:
        ask_for_search(causes, now=now, up_to_event=up_to_event)


def _give_up(now: dt.datetime) -> None:
    """What a dead worker left lying waits again; of old searches the last are kept."""
    _take_from_the_late(now)
    kept = PlanSearch.objects.order_by("-asked_at").values_list("pk", flat=True)[:KEPT_SEARCHES]
    PlanSearch.objects.exclude(pk__in=list(kept)).delete()


def _take_from_the_late(now: dt.datetime) -> None:
    """A search that its worker does not renew is nobody's: it waits again, or was begun too often."""
    lost = PlanSearch.objects.filter(state=SearchState.IN_WORK, lease_until__lt=now)
    lost.filter(attempt__gte=ATTEMPTS).update(
        state=SearchState.FAILED, ended_at=now, failure="it was begun too often and came to no end"
    )
    if not PlanSearch.objects.filter(state=SearchState.ASKED).exists():
        lost.filter(attempt__lt=ATTEMPTS).update(state=SearchState.ASKED, sent_at=None)


def _send_again(waiting: PlanSearch, now: dt.datetime) -> None:
    if waiting.sent_at is not None and waiting.sent_at > now - QUEUED_TOO_LONG:
        return
    try:
        send(waiting.pk)
    except OperationalError:
        log.warning("The queue cannot be reached; the search waits")
        return
    PlanSearch.objects.filter(pk=waiting.pk).update(sent_at=now)


def is_new_day(*, now: dt.datetime) -> bool:
    """Whether the shop has opened today and nobody has searched yet."""
    settings = ShopSettings.current()
    today = settings.day_at(now)
    windows = settings.hours.get(DAYS[today.weekday()], [])
    if not windows:
        return False
    last = PlanSearch.objects.order_by("-asked_at").first()
    if last is not None and settings.day_at(last.asked_at) >= today:
        return False
    opens: str = windows[0][0]
    return f"{now.astimezone(ZoneInfo(settings.zone)):%H:%M}" >= opens


def claim(search_id: UUID, *, now: dt.datetime) -> PlanSearch | None:
    """Take a search into work; None where somebody has it, or another one is going on."""
    with transaction.atomic():
        lock_stream(PLAN_STREAM)
        if PlanSearch.objects.filter(state=SearchState.IN_WORK, lease_until__gte=now).exists():
            return None
        taken = PlanSearch.objects.filter(pk=search_id, state=SearchState.ASKED).update(
            state=SearchState.IN_WORK,
            attempt=F("attempt") + 1,
            lease_until=now + LEASE,
            begun_at=now,
            best_objective=None,
            best_bound=None,
            best_at=None,
        )
        if not taken:
            return None
        _take_from_the_late(now)
        return PlanSearch.objects.get(pk=search_id)


def holds(search: PlanSearch) -> bool:
    """Whether a search is still in the hands of this attempt."""
    return PlanSearch.objects.filter(pk=search.pk, state=SearchState.IN_WORK, attempt=search.attempt).exists()


def renew(search: PlanSearch, *, now: dt.datetime) -> None:
    """This attempt is alive; nothing where the search is in other hands."""
    PlanSearch.objects.filter(pk=search.pk, state=SearchState.IN_WORK, attempt=search.attempt).update(
        lease_until=now + LEASE
    )


@transaction.atomic
def end(search: PlanSearch, *, now: dt.datetime, failure: str = "") -> None:
    """The search is over; nothing where it is in other hands, whose best so far it then leaves alone."""
    state = SearchState.FAILED if failure else SearchState.DONE
    mine = PlanSearch.objects.filter(pk=search.pk, state=SearchState.IN_WORK, attempt=search.attempt)
    if mine.update(state=state, ended_at=now, failure=failure, lease_until=None):
        StoredPlan.objects.so_far().delete()

"""What becomes of a plan: offered, accepted, not taken, carried on. Each leaves an event."""

import datetime as dt
from collections.abc import Iterable, Mapping
from typing import Any
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils.translation import gettext as _

from jobs.models import PlanState, StoredPlan
from jobs.plans.asking import PLAN_STREAM
from jobs.plans.comparing import Comparison, PlanRows
from shop.events import append, lock_stream
from shop.models import Person, ShopSettings

# So many jobs are named in a sentence; the proposal names all.
MANY_JOBS = 6


class CannotDecideError(Exception):
    """It is too late for that; `message` says why in the user's words."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


@transaction.atomic
def accept(plan: StoredPlan, *, by: Person, now: dt.datetime) -> None:
    """Put a plan in force, in the name of the manager.

    Raises:
        CannotDecideError: a newer one took its place, or it was decided about.
    """
    lock_stream(PLAN_STREAM)
    _require_open(plan)
    _make_room()
    plan.state, plan.decided_by, plan.decided_at = PlanState.IN_FORCE, by, now
    plan.save(update_fields=["state", "decided_by", "decided_at"])
    dates = {str(row.job.number): row.ready_at.isoformat() for row in plan.cars.select_related("job")}
    _tell("plan.accepted", plan, now, by=by.pk, ready=dates)


@transaction.atomic
def keep_present(plan: StoredPlan, *, by: Person, now: dt.datetime) -> None:
    """Let the plan in force stay and lay the other one aside.

    Raises:
        CannotDecideError: a newer one took its place, or nothing is in force that could stay.
    """
    lock_stream(PLAN_STREAM)
    _require_open(plan)
    if not StoredPlan.objects.in_force().exists():
        raise CannotDecideError(_("No plan is in force yet; there is none to keep"))
    plan.state, plan.decided_by, plan.decided_at = PlanState.KEPT_BACK, by, now
    plan.save(update_fields=["state", "decided_by", "decided_at"])
    _tell("plan.kept", plan, now, by=by.pk)


@transaction.atomic
def carry_on(plan: StoredPlan, *, now: dt.datetime) -> None:
    """The accepted order with the dates of today takes the place of the one with those of before."""
    lock_stream(PLAN_STREAM)
    present = StoredPlan.objects.in_force().first()
    if present is None:
        plan.delete()
        return
    plan.accepted = present.accepted or present
    _make_room()
    plan.state = PlanState.IN_FORCE
    plan.save(update_fields=["state", "accepted"])
    _tell("plan.carried_on", plan, now)


@transaction.atomic
def end_if_over(*, now: dt.datetime) -> None:
    """A plan of which no car is in the shop any more is over; there is nothing in it to carry on."""
    lock_stream(PLAN_STREAM)
    present = StoredPlan.objects.in_force().first()
    if present is not None and not present.cars.filter(job__released_at=None).exists():
        _make_room()
        append(stream=PLAN_STREAM, kind="plan.over", data={"plan": present.pk}, now=now)


@transaction.atomic
def offer(plan: StoredPlan, *, now: dt.datetime, wanted_by: Person | None = None) -> bool:
    """Lay a plan beside the one in force: at once when a promise is touched, else once a day.

    `wanted_by` stopped the search to have its best at once. What was laid there before and not decided
    about is taken away. A plan that changes nothing is not kept. Whether it is offered now; one that is
    found and not offered can be looked at all the same.
    """
    lock_stream(PLAN_STREAM)
    earlier = StoredPlan.objects.beside().exclude(pk=plan.pk)
    was_offered = earlier.filter(state=PlanState.OFFERED).exists()
    present = StoredPlan.objects.in_force().first()
    zone = ZoneInfo(ShopSettings.current().zone)
    reason = _why_now(present, plan, zone=zone, now=now, was_offered=was_offered)
    if wanted_by is not None and reason is not None:
        reason = _("%(name)s stopped the search and took the best") % {"name": wanted_by}
    earlier.delete()
    if reason is None:
        plan.delete()
        return False
    if reason:
        plan.state, plan.offered_at, plan.offered_because = PlanState.OFFERED, now, reason[:200]
        plan.save(update_fields=["state", "offered_at", "offered_because"])
        _tell("plan.offered", plan, now)
    return bool(reason)


def _why_now(
    present: StoredPlan | None, plan: StoredPlan, *, zone: ZoneInfo, now: dt.datetime, was_offered: bool
) -> str | None:
    """Why it is offered now; empty where it waits for its day, None where it changes nothing."""
    if present is None:
        return _("no plan is in force yet")
    compared = Comparison(PlanRows.load(present, zone=zone), PlanRows.load(plan, zone=zone))
    if not compared.changes_anything:
        return None
    touched = compared.promises
    if touched:
        jobs = job_numbers(move.job.number for move in touched)
        return _("it touches what was promised for job %(jobs)s") % {"jobs": jobs}
    missed = newly_missed(present, zone=zone)
    if missed:
        jobs = job_numbers(missed)
        return _("job %(jobs)s is going to miss its promise") % {"jobs": jobs}
    if was_offered:
        return _("things have moved on since it was offered")
    last = StoredPlan.objects.exclude(offered_at=None).order_by("-offered_at").first()
    today = now.astimezone(zone).date()
    if last is None or last.offered_at is None or last.offered_at.astimezone(zone).date() < today:
        return _("it is the day's")
    return ""


def job_numbers(jobs: Iterable[int], most: int = MANY_JOBS) -> str:
    """The jobs' numbers, and how many more where they are many."""
    told = [str(number) for number in jobs]
    if len(told) <= most:
        return ", ".join(told)
    more = len(told) - most
    return _("%(jobs)s and %(more)d more") % {"jobs": ", ".join(told[:most]), "more": more}


def newly_missed(plan: StoredPlan, *, zone: ZoneInfo) -> list[int]:
    """Jobs that miss a promise which they kept when the plan was accepted."""
    if plan.accepted is None:
        return []
    then = {row.job_id: row for row in plan.accepted.cars.all()}
    missed = []
    for row in plan.cars.select_related("job"):
        old = then.get(row.job_id)
        if row.promised_on is None or row.ready_at.astimezone(zone).date() <= row.promised_on:
            continue
        if old is not None and old.ready_at.astimezone(zone).date() <= row.promised_on:
            missed.append(row.job.number)
    return missed


@transaction.atomic
def show_now(plan: StoredPlan, *, by: Person, now: dt.datetime) -> None:
    """The manager wants to see what was found without waiting for its day."""
    lock_stream(PLAN_STREAM)
    _require_open(plan)
    if plan.state == PlanState.FOUND:
        plan.state, plan.offered_at = PlanState.OFFERED, now
        plan.offered_because = _("%(name)s asked for it") % {"name": by}
        plan.save(update_fields=["state", "offered_at", "offered_because"])
        _tell("plan.offered", plan, now, by=by.pk)


def _require_open(plan: StoredPlan) -> None:
    current = StoredPlan.objects.filter(pk=plan.pk).values_list("state", flat=True).first()
    if current not in {PlanState.FOUND, PlanState.OFFERED}:
        raise CannotDecideError(_("Somebody has decided about this plan, or a newer one took its place"))


def _make_room() -> None:
    """The plan in force is replaced. One that was only carried on goes; one that was accepted stays."""
    present = StoredPlan.objects.in_force().first()
    if present is None:
        return
    root = present.accepted
    if root is not None:
        present.delete()
    else:
        present.state = PlanState.REPLACED
        present.save(update_fields=["state"])


def _tell(kind: str, plan: StoredPlan, now: dt.datetime, **data: int | Mapping[str, str]) -> None:
    told: dict[str, Any] = {"plan": plan.pk, "objective": plan.objective, **data}
    append(stream=PLAN_STREAM, kind=kind, data=told, now=now)

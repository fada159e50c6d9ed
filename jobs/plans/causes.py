"""What asks for a new search: read from the record's own events, so that no change can be missed."""

import datetime as dt
from collections.abc import Iterable, Mapping

from django.utils.translation import gettext_lazy as _

from jobs.models import OperationState, PlanSearch, StoredPlan
from shop.models import Event

# Causes with their words, the weightiest first.
WORDS: Mapping[str, object] = {
    "parts": _("parts came, are missing, or are expected on another day"),
    "hold": _("something does not conform, or a hold was cleared"),
    "route": _("the route of a car changed"),
    "people": _("somebody is away, back or certified"),
    "bays": _("a bay is closed or opened, or a car was moved"),
    "instruments": _("an instrument was calibrated"),
    "settings": _("the shop's settings changed"),
    "jobs": _("a car came or went"),
    "pins": _("a pin was put or taken away"),
    "progress": _("work was started or finished"),
    "overrun": _("work takes longer than planned"),
    "day": _("a new day"),
    "manager": _("the manager asked for it"),
}

# By the beginning of an event's kind.
CAUSE_OF = (
    ("kit.", "parts"),
    ("slip.", "parts"),
    ("nonconformance.", "hold"),
    ("extra_work.", "hold"),
    ("operation.added", "route"),
    ("operation.omitted", "route"),
    ("operation.taken_back", "route"),
    ("operation.", "progress"),
    ("absence.", "people"),
    ("certificate.", "people"),
    ("person.", "people"),
    ("bay", "bays"),
    ("job.stands", "bays"),
    ("job.opened", "jobs"),
    ("job.released", "jobs"),
    ("job.promised", "jobs"),
    ("calibration.", "instruments"),
    ("instrument.", "instruments"),
    ("shopsettings.", "settings"),
    ("plan.pin", "pins"),
)

# Wait until it has been quiet for so long, but no longer than that after the first event.
QUIET = dt.timedelta(seconds=8)
PATIENCE = dt.timedelta(seconds=60)
# Work that runs over by more than this moves what comes after it.
OVERRUN = dt.timedelta(hours=1)


def cause_of(kind: str) -> str:
    """The cause that an event of that kind is; empty where it changes no plan."""
    return next((cause for beginning, cause in CAUSE_OF if kind.startswith(beginning)), "")


def in_order(causes: Iterable[str]) -> list[str]:
    held = set(causes)
    return [cause for cause in WORDS if cause in held]


def words_of(causes: Iterable[str]) -> str:
    return "; ".join(str(WORDS[cause]) for cause in in_order(causes))


def new_causes(*, now: dt.datetime) -> tuple[list[str], int]:
    """What has happened since the last search that changes a plan, once it is quiet, and up to which event.

    Nothing yet while events still come in: one search for all of them.
    """
    seen = PlanSearch.objects.order_by("-up_to_event").values_list("up_to_event", flat=True).first() or 0
    rows = list(Event.objects.filter(pk__gt=seen).order_by("pk").values_list("pk", "kind", "recorded_at"))
    told = [(at, cause) for _pk, kind, at in rows if (cause := cause_of(kind))]
    if not told:
        return [], rows[-1][0] if rows else seen
    is_quiet = told[-1][0] <= now - QUIET or told[0][0] <= now - PATIENCE
    return (in_order(cause for _at, cause in told), rows[-1][0]) if is_quiet else ([], seen)


def is_overrun(*, now: dt.datetime) -> bool:
    """Whether work goes on that the plan in force has as ended for an hour."""
    plan = StoredPlan.objects.in_force().first()
    if plan is None or plan.made_at > now - OVERRUN:
        return False
    return plan.operations.filter(
        part="", job_operation__state=OperationState.IN_WORK, ends_at__lt=now - OVERRUN
    ).exists()

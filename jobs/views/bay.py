"""The bay's first screen and the turns at its tablet: who is here, what is next, what is carried over."""

import datetime as dt
from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from jobs.assigning import assignments_of
from jobs.bay.kept_input import KeptInput, kept_in
from jobs.bay.proposing import propose
from jobs.bay.tablet_page import OperationPage, operation_page
from jobs.models import Job
from jobs.plans.next_days import PersonDay, days_of
from jobs.record import JobRecord
from jobs.recording.turn_end import close_what_was_left
from shop.actions import TURN_ROLES
from shop.models import Person, Role, ShopSettings, Tablet, Turn
from shop.pins import PinRefused
from shop.prepared import Prepared
from shop.requests import sender_of
from shop.tablets import begin_turn, end_lapsed, end_turn, rotate, tablet_of, turn_of

P = ParamSpec("P")
TurnView = Callable[Concatenate[HttpRequest, Turn, P], HttpResponse]
View = Callable[Concatenate[HttpRequest, P], HttpResponse]


IN_BAY = Prepared(lambda number, bay: Job.objects.filter(number=number, bay=bay).values_list("pk"))


def turn_now(tablet: Tablet) -> Turn | None:
    """The turn at the tablet; one left open overnight is ended here, with the time booked in it."""
    now, turn = timezone.now(), turn_of(tablet)
    if turn is not None and end_lapsed(turn, now=now):
        close_what_was_left(now=now)
        return None
    return turn


def turn_required(view: TurnView[P]) -> View[P]:
    """Only for a tablet of the shop with somebody in turn; else to the page where a turn begins."""

    @wraps(view)
    def inner(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        tablet = tablet_of(request)
        turn = turn_now(tablet) if tablet else None
        if turn is None:
            return redirect("jobs:tablet")
        return view(request, turn, *args, **kwargs)

    return inner


def is_in_bay(turn: Turn, number: int) -> bool:
    """Whether a car stands in the tablet's bay."""
    return bool(IN_BAY.all(number=number, bay=turn.tablet.bay_id))


def job_in_bay(turn: Turn, number: int) -> Job:
    """A tablet sees the cars of its own bay."""
    return get_object_or_404(
        Job.objects.select_related("vehicle", "bay", "kit_order__kit_revision__kit"),
        number=number,
        bay=turn.tablet.bay,
    )


def show_operation(
    request: HttpRequest, page: OperationPage, *, status: int = 200, **more: Any
) -> HttpResponse:
    """The page of an operation."""
    context = {"page": page, "turn": page.turn, "people": others(page.turn), **more}
    return render(request, "jobs/tablet_operation.html", context, status=status)


def others(turn: Turn) -> list[Person]:
    """Who may sign one entry here with a PIN; whoever has the turn stands last."""
    people = Person.objects.filter(is_active=True, role__in=[Role.FABRICATOR, Role.LEAD])
    return sorted(people, key=lambda person: person.pk == turn.person_id)


@require_GET
def tablet(request: HttpRequest) -> HttpResponse:
    """The bay: its car and what is to be done on it, or who begins a turn."""
    found = tablet_of(request)
    if found is None:
        return render(request, "jobs/tablet_unassigned.html", status=403)
    return _bay_page(request, found, turn_now(found))


def _next_days(turn: Turn | None, now: dt.datetime) -> tuple[PersonDay, ...]:
    """What whoever has the turn is to do next, by the plan."""
    if turn is None:
        return ()
    return days_of(turn.person_id, zone=ZoneInfo(ShopSettings.current().zone), now=now)


def _bay_page(
    request: HttpRequest, found: Tablet, turn: Turn | None, *, error: str = "", status: int = 200
) -> HttpResponse:
    jobs = found.bay.jobs.filter(released_at=None).select_related(
        "vehicle", "bay", "kit_order__kit_revision__kit"
    )
    records, assigned = JobRecord.load_many(jobs), assignments_of(jobs)
    now = timezone.now()
    proposals = [
        propose(record, turn.person, assigned=assigned.get(key, ()), now=now)
        for key, record in records.items()
        if turn is not None
    ]
    context = {
        "assigned": [row for of_job in assigned.values() for row in of_job],
        "tablet": found,
        "turn": turn,
        "records": list(records.values()),
        "proposals": proposals,
        "people": _may_begin(),
        "next_days": _next_days(turn, now),
        "error": error,
        "chosen": request.POST.get("username", ""),
    }
    return render(request, "jobs/tablet.html", context, status=status)


def _may_begin() -> Any:
    return Person.objects.filter(is_active=True, role__in=TURN_ROLES)


@require_POST
def tablet_turn(request: HttpRequest) -> HttpResponse:
    """Begin a turn by name and PIN; what was entered before and not recorded is shown again."""
    found, kept = tablet_of(request), kept_in(request.POST)
    if found is None:
        return redirect("jobs:tablet")
    person = _may_begin().filter(username=request.POST.get("username", "")).first()
    if person is None:
        return _begin_again(request, found, kept, _("Choose your name"))
    now = timezone.now()
    try:
        begin_turn(found, person, request.POST.get("pin", ""), now=now, address=sender_of(request))
    except PinRefused as refusal:
        return _begin_again(request, found, kept, str(refusal))
    close_what_was_left(now=now)
    rotate(request)
    return _go_on(request, found, kept) or redirect("jobs:tablet")


def _begin_again(request: HttpRequest, found: Tablet, kept: KeptInput | None, error: str) -> HttpResponse:
    if kept is not None:
        return turn_over(request, found, kept, error=error, status=422)
    return _bay_page(request, found, None, error=error, status=422)


def turn_over(
    request: HttpRequest, found: Tablet, kept: KeptInput, *, error: str = "", status: int = 409
) -> HttpResponse:
    """Nobody is in turn any more: what was entered waits until somebody is."""
    context = {
        "tablet": found,
        "kept": kept,
        "people": _may_begin(),
        "error": error,
        "chosen": request.POST.get("username", ""),
    }
    return render(request, "jobs/tablet_turn_over.html", context, status=status)


def _go_on(request: HttpRequest, found: Tablet, kept: KeptInput | None) -> HttpResponse | None:
    """The operation with what was entered before the turn; it is looked at and recorded anew."""
    turn = turn_of(found)
    job = Job.objects.filter(number=kept.number, bay=found.bay).first() if kept and turn else None
    if kept is None or turn is None or job is None:
        return None
    job = job_in_bay(turn, kept.number)
    typed = kept.typed
    page = operation_page(job, kept.subject, turn=turn, now=timezone.now(), at=typed.code, typed=typed)
    told = _("Your turn has begun. What was entered before is still here: look at it and record it.")
    return show_operation(request, page, told=told) if page else None


@require_POST
def tablet_turn_end(request: HttpRequest) -> HttpResponse:
    """End the turn and the time booked in it; what was entered is kept."""
    found = tablet_of(request)
    turn = turn_now(found) if found else None
    if turn is not None:
        now = timezone.now()
        end_turn(turn, now=now)
        close_what_was_left(now=now)
    return redirect("jobs:tablet")

"""What is done beside the work at a tablet: pausing, handing over, stopping from the first screen."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from jobs.bay.panels import Typed
from jobs.bay.tablet_page import OperationPage, operation_page
from jobs.models import Job
from jobs.record import JobRecord, OperationStanding
from jobs.views.bay import job_in_bay, turn_required
from jobs.views.tablet_welds import show_welds
from jobs.work_time import PAUSES, hours_and_minutes
from shop.models import Turn

FOUND_WORDS = (
    "Rust beyond the cut",
    "Old repair to be undone",
    "Crack",
    "Stud or bolt broken off",
    "Line or hose perished",
    "Bushing or bearing worn",
    "Wiring damaged",
)
# Minutes that somebody at the car would say.
ABOUT = (15, 30, 60, 120, 240, 480)
PROBLEM_WORDS = (
    "Part does not fit",
    "Part is damaged",
    "Rust or an old repair",
    "Mark or cut is wrong",
    "Does not match the drawing",
    "Tool or instrument is bad",
    "Somebody is hurt or nearly was",
)


def _page_of(turn: Turn, number: int, code: str) -> OperationPage:
    page = operation_page(job_in_bay(turn, number), code, turn=turn, now=timezone.now())
    if page is None:
        raise Http404
    return page


@require_GET
@turn_required
def tablet_problem(request: HttpRequest, turn: Turn, number: int, code: str) -> HttpResponse:
    """Stop: what is wrong? One touch says it and records it."""
    page, at = _page_of(turn, number, code), request.GET.get("at", "")
    context = {"page": page, "turn": turn, "words": [_(word) for word in PROBLEM_WORDS], "at": at}
    return render(request, "jobs/tablet_problem.html", context)


@require_GET
@turn_required
def tablet_stop(request: HttpRequest, turn: Turn) -> HttpResponse:
    """Stop, from the bay's first screen: the operation in hand of each car here, with the quick causes."""
    jobs = Job.objects.filter(bay=turn.tablet.bay, released_at=None).select_related(
        "vehicle", "bay", "kit_order__kit_revision__kit"
    )
    now, pages = timezone.now(), []
    for record in JobRecord.load_many(jobs).values():
        at = _in_question(record)
        page = operation_page(record.job, at.code, turn=turn, now=now) if at else None
        if page is not None:
            pages.append(page)
    words = [_(word) for word in PROBLEM_WORDS]
    return render(request, "jobs/tablet_stop.html", {"pages": pages, "turn": turn, "words": words})


def _in_question(record: JobRecord) -> OperationStanding | None:
    """What a problem is about that was met at no operation: the one in hand, or the last of the route."""
    return record.in_hand or next(reversed(record.operations), None)


@require_GET
@turn_required
def tablet_pause(request: HttpRequest, turn: Turn, number: int, code: str) -> HttpResponse:
    """Leave off: a reason in one touch, or a word to the next shift."""
    return show_pause(request, _page_of(turn, number, code))


def show_pause(
    request: HttpRequest,
    page: OperationPage,
    *,
    typed: Typed | None = None,
    told: str = "",
    status: int = 200,
) -> HttpResponse:
    context = {
        "page": page,
        "turn": page.turn,
        "reasons": [_(reason) for reason in PAUSES],
        "typed": typed,
        "told": told,
    }
    return render(request, "jobs/tablet_pause.html", context, status=status)


@require_GET
@turn_required
def tablet_extra_work(request: HttpRequest, turn: Turn, number: int, code: str) -> HttpResponse:
    """Work found that the route does not have: what, about how long, a photo; a desk asks the customer."""
    return show_extra_work(request, _page_of(turn, number, code))


def show_extra_work(
    request: HttpRequest,
    page: OperationPage,
    *,
    typed: Typed | None = None,
    told: str = "",
    status: int = 200,
) -> HttpResponse:
    context = {
        "page": page,
        "turn": page.turn,
        "words": [_(word) for word in FOUND_WORDS],
        "about": [(str(minutes), hours_and_minutes(minutes)) for minutes in ABOUT],
        "typed": typed,
        "told": told,
    }
    return render(request, "jobs/tablet_extra_work.html", context, status=status)


# Where an entry that is made on a page of its own is shown again with what was typed.
ASIDES = {
    "pause": show_pause,
    "hand_over": show_pause,
    "found_work": show_extra_work,
    "weld_made": show_welds,
}

"""The weld map at a tablet: touch a weld to record it; the next one is proposed with its reason."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from jobs.bay.panels import Typed
from jobs.bay.tablet_page import OperationPage, operation_page
from jobs.bay.weld_page import weld_hold, weld_page
from jobs.views.bay import job_in_bay, turn_required
from shop.models import Turn


@require_GET
@turn_required
def tablet_welds(request: HttpRequest, turn: Turn, number: int, code: str) -> HttpResponse:
    """The welds of an operation, drawn and as a list."""
    page = operation_page(job_in_bay(turn, number), code, turn=turn, now=timezone.now())
    if page is None:
        raise Http404
    return show_welds(request, page)


def show_welds(
    request: HttpRequest,
    page: OperationPage,
    *,
    typed: Typed | None = None,
    told: str = "",
    status: int = 200,
) -> HttpResponse:
    touched = (typed.values.get("weld", "") if typed else "") or request.GET.get("weld", "")
    welds = weld_page(page.record, page.code, touched=touched)
    if welds is None:
        # Nothing of the map is made here: back to the operation, which says what is.
        return redirect("jobs:tablet_operation", page.job.number, page.code)
    hold = weld_hold(page)
    told = "" if hold is not None and told == hold.message else told
    context = {"page": page, "turn": page.turn, "welds": welds, "hold": hold, "typed": typed, "told": told}
    return render(request, "jobs/tablet_welds.html", context, status=status)

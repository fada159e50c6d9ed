"""What turned out bad, and everything that it touched."""

from django.http import HttpResponse
from django.utils import timezone

from jobs.desk.trace_form import TraceForm
from jobs.judging.limits import reader_of
from shop.fragments import render_page
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:trace")
def trace(request: PersonRequest) -> HttpResponse:
    """Ask by instrument, lot, revision or welder; the address carries it, so that it can be sent on."""
    form = TraceForm(request.GET or None, today=timezone.localdate())
    status = 200 if not form.is_bound or form.is_valid() else 422
    context = {"form": form, "trace": form.trace, "reader": reader_of(request.user)}
    return render_page(request, "jobs/trace.html", context, parts=("traced",), status=status)

"""What turned out bad, and everything that it touched."""

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from jobs.desk.trace_form import TraceForm
from shop.fragments import render_page
from shop.requests import PersonRequest


@require_GET
@login_required
def trace(request: PersonRequest) -> HttpResponse:
    """Ask by instrument, lot, revision or welder; the address carries it, so that it can be sent on."""
    form = TraceForm(request.GET or None, today=timezone.localdate())
    status = 200 if not form.is_bound or form.is_valid() else 422
    context = {"form": form, "trace": form.trace}
    return render_page(request, "jobs/trace.html", context, parts=("traced",), status=status)

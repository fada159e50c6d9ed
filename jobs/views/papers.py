"""The papers of a job, and typing in what was written on one by hand."""

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from jobs.desk.typing_in import take_sheet
from jobs.desk.typing_page import SheetPosted, TypingPage
from jobs.models import Job
from jobs.record import JobRecord
from jobs.unwitnessed import held_back
from shop.actions import may
from shop.models import Role, ShopSettings
from shop.permissions import role_required
from shop.requests import PersonRequest


@require_GET
@login_required
def job_papers(request: PersonRequest, number: int) -> HttpResponse:
    """Every paper of a job but those about money."""
    job = get_object_or_404(Job.objects.with_car(), number=number)
    numbers = job.nonconformances.order_by("number").values_list("number", flat=True)
    context = {
        "job": job,
        "reports": [f"nonconformance-{found}" for found in numbers],
        "may_take_out": may(request.user.role, "jobs:job_file"),
        "held_back": held_back(JobRecord.load(job)),
        "may_type": may(request.user.role, "jobs:sheet_typing"),
    }
    return render(request, "jobs/job_papers.html", context)


@require_http_methods(["GET", "POST"])
@role_required(Role.LEAD, Role.MANAGER)
def sheet_typing(request: PersonRequest, number: int) -> HttpResponse:
    """Type in a sheet that was filled by hand. Lines that can't be recorded keep what was typed."""
    job = get_object_or_404(Job.objects.with_car(), number=number)
    now = timezone.now()
    if request.method == "GET":
        today = ShopSettings.current().day_at(now).isoformat()
        page = TypingPage.load(job, SheetPosted(day=today), now=now)
        return render(request, "jobs/sheet_typing.html", {"page": page})
    posted, recorded = take_sheet(job, request.POST.dict(), typist=request.user, now=now)
    if recorded:
        words = ngettext("%(count)d line recorded.", "%(count)d lines recorded.", recorded)
        messages.success(request, words % {"count": recorded})
    if not posted.errors and not posted.form_errors:
        return redirect("jobs:job_papers", number)
    page = TypingPage.load(get_object_or_404(Job.objects.with_car(), number=number), posted, now=now)
    return render(request, "jobs/sheet_typing.html", {"page": page}, status=422)

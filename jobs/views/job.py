"""One job, and one operation of it, at the desk."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_GET

from jobs.desk.job_page import JobPage
from jobs.desk.operation_page import DeskOperation
from jobs.models import Job
from shop.actions import may
from shop.fragments import render_page
from shop.permissions import allowed
from shop.requests import PersonRequest
from shop.tablets import tablet_of


@allowed("jobs:job")
def job(request: PersonRequest, number: int) -> HttpResponse:
    """Everything of one job."""
    found = get_object_or_404(Job.objects.with_car(), number=number)
    page = JobPage.load(found, viewer=request.user, now=timezone.now())
    context = {"page": page, "may_weigh": not found.is_released and may(request.user.role, "jobs:plan_start")}
    return render_page(request, "jobs/job.html", context, parts=("job",))


@allowed("jobs:job_operation")
def job_operation(request: PersonRequest, number: int, code: str) -> HttpResponse:
    """One operation with every result and the numbers behind it."""
    found = get_object_or_404(Job.objects.with_car(), number=number)
    page = DeskOperation.load(found, code, viewer=request.user, now=timezone.now())
    if page is None:
        raise Http404
    return render_page(request, "jobs/job_operation.html", {"page": page}, parts=("operation",))


@require_GET
def qr(request: HttpRequest, number: int, code: str) -> HttpResponse:
    """Where the code on a traveler leads: the tablet's page in the car's own bay, else the desk's."""
    tablet = tablet_of(request)
    here = tablet is not None and tablet.bay.jobs.filter(number=number, released_at=None).exists()
    return redirect("jobs:tablet_operation" if here else "jobs:job_operation", number=number, code=code)

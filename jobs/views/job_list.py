"""The list of all jobs."""

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.views.decorators.http import require_GET

from jobs.desk.job_list_page import JobList
from shop.fragments import render_page
from shop.models import Role
from shop.requests import PersonRequest

MAY_OPEN = frozenset({Role.SERVICE_WRITER, Role.MANAGER})


@require_GET
@login_required
def job_list(request: PersonRequest) -> HttpResponse:
    """Every job, found as one types, sorted and narrowed by the address."""
    page = JobList.load(request.GET.dict())
    context = {"page": page, "may_open": request.user.role in MAY_OPEN}
    return render_page(request, "jobs/job_list.html", context, parts=("jobs",))

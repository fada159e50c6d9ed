"""The list of all jobs."""

from django.http import HttpResponse
from django.utils import timezone

from jobs.desk.job_list_page import JobList
from shop.actions import may
from shop.fragments import render_page
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:job_list")
def job_list(request: PersonRequest) -> HttpResponse:
    """Every job, found as one types, sorted and narrowed by the address."""
    page = JobList.load(request.GET.dict(), now=timezone.now())
    context = {"page": page, "may_open": may(request.user.role, "jobs:job_open")}
    return render_page(request, "jobs/job_list.html", context, parts=("jobs",))

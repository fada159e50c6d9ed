"""The pages about a newer revision and the cars on the floor."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render

from jobs.desk.revision_page import car_revision_page, procedure_floor_page
from jobs.models import Job, Procedure
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:job_revision")
def job_revision(request: PersonRequest, number: int) -> HttpResponse:
    """What a newer revision changes for one car, and the decision about it."""
    job = get_object_or_404(Job.objects.with_car(), number=number)
    page = car_revision_page(job, viewer=request.user)
    return render(request, "jobs/job_revision.html", {"page": page})


@allowed("jobs:procedure_floor")
def procedure_floor(request: PersonRequest, code: str) -> HttpResponse:
    """Every car on the floor of one procedure, and whether somebody has still to decide about it."""
    page = procedure_floor_page(get_object_or_404(Procedure, code=code))
    return render(request, "jobs/procedure_floor.html", {"page": page})

"""The condition of a car, recorded on a walk round it."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404

from jobs.desk.condition_page import ConditionPage
from jobs.models import Job
from shop.fragments import render_page
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:condition")
def condition(request: PersonRequest, number: int) -> HttpResponse:
    """Marks on the car's outline, ride heights and what else was read."""
    job = get_object_or_404(Job.objects.with_car(), number=number)
    page = ConditionPage.load(job, viewer=request.user, asked=request.GET.dict())
    parts = ("condition", "condition-report", "condition-summary")
    return render_page(request, "jobs/condition.html", {"page": page}, parts=parts)

"""Moving a car and putting people onto it."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.assigning import CannotAssignError, assign, take_off
from jobs.desk.car_place import CarPlace
from jobs.models import Assignment, Job
from shop.permissions import allowed
from shop.requests import PersonRequest


def _job(number: int) -> Job:
    return get_object_or_404(Job.objects.with_car().on_the_floor(), number=number)


@allowed("jobs:car_place")
def car_place(request: PersonRequest, number: int) -> HttpResponse:
    """The bay, what the car stands on, who works on it. Moves go through the door for entries."""
    page = CarPlace.load(_job(number), now=timezone.now())
    return render(request, "jobs/car_place.html", {"page": page})


@allowed("jobs:car_assign")
def car_assign(request: PersonRequest, number: int) -> HttpResponse:
    """Put somebody onto the car."""
    job, now = _job(number), timezone.now()
    page = CarPlace.load(job, now=now, posted=request.POST)
    form = page.assign_form
    if form.is_valid():
        standing = form.standings.get(form.cleaned_data["operation"])
        person, operation = form.cleaned_data["person"], standing.job_operation if standing else None
        try:
            assign(job, person, operation=operation, by=request.user, now=now)
        except CannotAssignError as error:
            form.add_error(error.field or None, error.message)
        else:
            messages.success(request, _("%(name)s works on it") % {"name": person})
            return redirect("jobs:car_place", number)
    return render(request, "jobs/car_place.html", {"page": page, "form": form}, status=422)


@allowed("jobs:car_take_off")
def car_take_off(request: PersonRequest, number: int, pk: int) -> HttpResponse:
    """Take somebody off the car."""
    rows = Assignment.objects.select_related("person", "job", "job_operation__operation")
    row = get_object_or_404(rows, pk=pk, job__number=number)
    take_off(row, by=request.user, now=timezone.now())
    messages.success(request, _("%(name)s is off it") % {"name": row.person})
    return redirect("jobs:car_place", number)

"""Bare pages: the same rows, middleware, sign-in and frame as the real ones, and nothing worked out."""

from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import include, path

from jobs.models import Checkpoint, Job, JobOperation, Result
from parts.models import KitLine
from shop.models import Event


@login_required
def job(request: HttpRequest, number: int) -> HttpResponse:
    found = Job.objects.with_car().get(number=number)
    return render(
        request,
        "bench/rows.html",
        {
            "title": found,
            "parts": [
                JobOperation.objects.filter(job=found).select_related("operation"),
                Checkpoint.objects.filter(operation__on_jobs__job=found),
                Result.objects.filter(job_operation__job=found).select_related(
                    "person", "checkpoint", "instrument", "reopening", "acceptance"
                ),
                KitLine.objects.filter(revision__orders__job=found),
                Event.objects.filter(stream=found.stream).order_by("-sequence")[:30],
            ],
        },
    )


@login_required
def operation(request: HttpRequest, number: int, code: str) -> HttpResponse:
    """All of the job's rows are read, as the gates need them; those of the operation are drawn."""
    found = Job.objects.with_car().get(number=number)
    results = list(
        Result.objects.filter(job_operation__job=found).select_related(
            "person", "checkpoint", "instrument", "reopening", "acceptance", "job_operation__operation"
        )
    )
    every = list(JobOperation.objects.filter(job=found).select_related("operation"))
    return render(
        request,
        "bench/rows.html",
        {
            "title": found,
            "parts": [
                [row for row in every if row.operation.code == code],
                [
                    c
                    for c in Checkpoint.objects.filter(operation__on_jobs__job=found).select_related(
                        "operation"
                    )
                    if c.operation.code == code
                ],
                [row for row in results if row.job_operation.operation.code == code],
            ],
        },
    )


@login_required
def floor(request: HttpRequest) -> HttpResponse:
    """The rows that the floor shows, columns worked out by nobody, from one query."""
    rows = Job.objects.on_the_floor().with_car().with_place().order_by("bay__number")
    return render(request, "bench/jobs.html", {"jobs": rows})


@login_required
def job_list(request: HttpRequest) -> HttpResponse:
    rows = Job.objects.all().with_car().with_place().order_by("number")[:50]
    return render(request, "bench/jobs.html", {"jobs": rows})


@login_required
def write(request: HttpRequest, number: int) -> HttpResponse:
    """A bare read, change, write with the same sign-in."""
    with transaction.atomic():
        found = Job.objects.select_for_update().get(number=number)
        found.odometer = request.POST["text"][:20]
        found.save()
    return HttpResponse(found.odometer)


urlpatterns = [
    path("bare/jobs/", job_list),
    path("bare/jobs/<int:number>/", job),
    path("bare/jobs/<int:number>/write/", write),
    path("bare/jobs/<int:number>/<str:code>/", operation),
    path("bare/floor/", floor),
    path("", include("shop.urls")),
]

"""Questions to the plan: asked here, worked out by the worker, looked at here."""

import datetime as dt

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from jobs.desk.question_pages import EarliestForm, EarliestPage, StartPage
from jobs.models import Job, PlanQuestion, QuestionKind
from jobs.plans.questions import ask_earliest, ask_start_or_wait
from shop.actions import may
from shop.models import ShopSettings
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:plan_earliest")
def plan_earliest(request: PersonRequest) -> HttpResponse:
    """The earliest date that can be promised to a new customer."""
    form = EarliestForm(request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        now = timezone.now()
        lead = dt.timedelta(days=form.cleaned_data["lead_days"])
        ask_earliest(
            form.cleaned_data["procedure"],
            kit_on=ShopSettings.current().day_at(now) + lead,
            by=request.user,
            now=now,
        )
        return redirect("jobs:plan_earliest")
    mine = PlanQuestion.objects.filter(kind=QuestionKind.EARLIEST, asked_by=request.user)
    page = EarliestPage.load(mine.order_by("-asked_at").first())
    form.initial = {**form.initial, **page.asked}
    return render(
        request,
        "jobs/plan_earliest.html",
        {"form": form, "page": page},
        status=422 if form.is_bound else 200,
    )


@allowed("jobs:plan_start")
def plan_start(request: PersonRequest, number: int) -> HttpResponse:
    """Start a car whose kit is short, wait for the part, or take another car first."""
    job = get_object_or_404(Job.objects.on_the_floor().with_car(), number=number)
    if request.method == "POST":
        ask_start_or_wait(job, by=request.user, now=timezone.now())
        return redirect("jobs:plan_start", number)
    context = {
        "page": StartPage.load(job),
        "may_ask": may(request.user.role, "jobs:plan_start", "POST"),
    }
    return render(request, "jobs/plan_start.html", context)

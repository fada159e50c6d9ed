"""The plan: looked at by all, decided and pinned by the manager."""

import datetime as dt
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django_htmx.http import HttpResponseClientRedirect

from jobs.desk.plan_basis import BasisForm
from jobs.desk.plan_forms import PinForm
from jobs.desk.plan_page import PlanPage, stage_words
from jobs.desk.plan_proposal_page import ProposalPage
from jobs.models import Job, Pin, StoredPlan
from jobs.plans.asking import ask_for_search
from jobs.plans.deciding import CannotDecideError, accept, keep_present, show_now
from jobs.plans.next_days import next_days
from jobs.plans.pinning import CannotPinError, clashing, pin_words, pins_of, put_pin, take_pin_away
from jobs.plans.shop_state import ShopState
from jobs.plans.watching import NothingToStopError, stop_search
from jobs.plans.workload import Workload
from shop.actions import TURN_ROLES, may
from shop.models import Person, ShopSettings
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:plan")
def plan(request: PersonRequest) -> HttpResponse:
    """What is in force, over a week or a month."""
    page = PlanPage.load(
        now=timezone.now(),
        view=request.GET.get("view", "week"),
        first=_day(request.GET.get("from", "")),
        asked=request.GET.get("car", "").strip(),
    )
    context = {
        "page": page,
        "stages": stage_words(),
        "may_decide": may(request.user.role, "jobs:plan_proposal", "POST"),
        "may_compare": may(request.user.role, "jobs:plan_proposal"),
    }
    return render(request, "jobs/plan.html", context)


@allowed("jobs:plan_proposal")
def plan_proposal(request: PersonRequest) -> HttpResponse:
    """The plan beside the one in force: what moves, why, which promise; accepted or not."""
    if request.method == "POST":
        return _decide(request)
    page = ProposalPage.load(now=timezone.now())
    context = {"page": page, "may_decide": may(request.user.role, "jobs:plan_proposal", "POST")}
    return render(request, "jobs/plan_proposal.html", context)


def _decide(request: PersonRequest) -> HttpResponse:
    number = _number(request.POST.get("plan", ""))
    found = StoredPlan.objects.filter(pk=number).first() if number else None
    now, what = timezone.now(), request.POST.get("decision", "")
    decide = {"accept": accept, "keep": keep_present, "show": show_now}.get(what)
    if found is None or decide is None:
        messages.warning(request, _("That plan is not there any more; a newer one took its place"))
        return redirect("jobs:plan_proposal")
    try:
        decide(found, by=request.user, now=now)
    except CannotDecideError as error:
        messages.warning(request, error.message)
        return redirect("jobs:plan_proposal")
    if what == "show":
        return redirect("jobs:plan_proposal")
    words = {"accept": _("The plan is in force"), "keep": _("The present plan stays")}
    messages.success(request, words[what])
    return redirect("jobs:plan")


@allowed("jobs:plan_search")
def plan_search(request: PersonRequest) -> HttpResponse:
    """Ask for a search now."""
    ask_for_search(["manager"], by=request.user, now=timezone.now())
    messages.success(request, _("A plan is searched for; it appears here beside the one in force"))
    return redirect("jobs:plan")


@allowed("jobs:plan_so_far")
def plan_so_far(request: PersonRequest) -> HttpResponse:
    """The best that the search has by now; the manager may stop it and have that at once."""
    if request.method == "POST":
        try:
            stop_search(by=request.user, now=timezone.now())
        except NothingToStopError:
            messages.warning(request, _("No search goes on that has found something yet"))
            return redirect("jobs:plan")
        return redirect("jobs:plan_so_far")
    page = ProposalPage.so_far(now=timezone.now(), seen=_number(request.GET.get("seen", "")))
    if page.search is None or not page.search.is_under_way:
        to = reverse("jobs:plan_proposal")
        return HttpResponseClientRedirect(to) if request.htmx else redirect(to)
    context = {"page": page, "may_decide": may(request.user.role, "jobs:plan_so_far", "POST")}
    return render(request, "jobs/plan_so_far.html", context)


@allowed("jobs:plan_pins")
def plan_pins(request: PersonRequest) -> HttpResponse:
    """The pins, and a form to put one on the car that was chosen."""
    number = request.POST.get("job", "") or request.GET.get("job", "")
    jobs = list(Job.objects.on_the_floor().select_related("vehicle").order_by("number"))
    job = next((row for row in jobs if str(row.number) == number), None)
    form = PinForm(job, request.POST if request.method == "POST" else None) if job else None
    if form is not None and form.is_bound and form.is_valid() and _pinned(request, form):
        return redirect("jobs:plan_pins")
    pins = pins_of()
    newest = StoredPlan.objects.order_by("-made_at", "-pk").first()
    clash = clashing(newest.clashing_pins if newest else (), pins)
    context = {
        "pins": [(pin, pin_words(pin)) for pin in pins if pin not in clash],
        "clash": [(pin, pin_words(pin)) for pin in clash],
        "jobs": jobs,
        "job": job,
        "form": form,
        "may_pin": may(request.user.role, "jobs:plan_pins", "POST"),
    }
    return render(request, "jobs/plan_pins.html", context, status=422 if request.method == "POST" else 200)


def _pinned(request: PersonRequest, form: PinForm) -> bool:
    """Put the pin; what it lacks is told beside its field."""
    try:
        pin = put_pin(form.cleaned_data["kind"], form.job, by=request.user, now=timezone.now(), **form.chosen)
    except CannotPinError as error:
        form.add_error(error.field if error.field in form.fields else None, error.message)
        return False
    messages.success(request, _("Pinned: %(what)s. The next plan goes by it") % {"what": pin_words(pin)})
    return True


@allowed("jobs:plan_pin_remove")
def plan_pin_remove(request: PersonRequest, pk: int) -> HttpResponse:
    pin = get_object_or_404(Pin.objects.select_related("job", "job_operation__operation"), pk=pk)
    take_pin_away(pin, by=request.user, now=timezone.now())
    messages.success(request, _("Taken away: %(what)s") % {"what": pin_words(pin)})
    return redirect("jobs:plan_pins")


@allowed("jobs:plan_basis")
def plan_basis(request: PersonRequest) -> HttpResponse:
    """What every plan stands on beside the record: public holidays, what a bay must have, own shifts."""
    form = BasisForm(request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        form.save(by=request.user, now=timezone.now())
        messages.success(request, _("It is saved; the next plan goes by it"))
        return redirect("jobs:plan_basis")
    return render(request, "jobs/plan_basis.html", {"form": form}, status=422 if form.is_bound else 200)


@allowed("jobs:plan_days")
def plan_days(request: PersonRequest) -> HttpResponse:
    """What everybody is to do on the coming days, whoever looks first."""
    settings = ShopSettings.current()
    people = Person.objects.filter(is_active=True, role__in=TURN_ROLES)
    found = next_days(people, zone=ZoneInfo(settings.zone), now=timezone.now())
    mine = sorted(found, key=lambda one: one.person.pk != request.user.pk)
    return render(request, "jobs/plan_days.html", {"people": mine, "today": settings.day_at(timezone.now())})


@allowed("jobs:plan_load")
def plan_load(request: PersonRequest) -> HttpResponse:
    """Work per skill and bay against what there is, for six weeks."""
    return render(request, "jobs/plan_load.html", {"load": Workload.of(ShopState.load(now=timezone.now()))})


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 18 else None


def _day(text: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        return None

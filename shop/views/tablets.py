"""Which tablets the shop has, giving one to a bay by a code, and taking one back."""

import datetime as dt
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from shop.forms import TabletCodeForm
from shop.models import Bay, Tablet, TabletCode
from shop.permissions import allowed
from shop.requests import PersonRequest, sender_of
from shop.tablet_codes import CodeRefused, make_code, redeem
from shop.tablets import give_credential, revoke, tablet_of


@dataclass(frozen=True)
class BayTablets:
    """A bay with the tablets that stand in it."""

    bay: Bay
    tablets: tuple[Tablet, ...]


@dataclass(frozen=True)
class TabletList:
    """All bays with their tablets, and the codes that nobody has typed yet."""

    bays: tuple[BayTablets, ...]
    waiting: tuple[TabletCode, ...]
    here: Tablet | None

    @classmethod
    def load(cls, *, here: Tablet | None, now: dt.datetime) -> "TabletList":
        at_work = list(
            Tablet.objects.filter(revoked_at=None).select_related("assigned_by").order_by("assigned_at")
        )
        bays = tuple(
            BayTablets(bay, tuple(t for t in at_work if t.bay_id == bay.pk)) for bay in Bay.objects.all()
        )
        waiting = TabletCode.objects.select_related("bay").filter(used_at=None, expires_at__gt=now)
        return cls(tuple(row for row in bays if row.bay.is_open or row.tablets), tuple(waiting), here)


@allowed("shop:tablet_list")
def tablet_list(request: PersonRequest) -> HttpResponse:
    """The tablets; with the bay of `?bay=` chosen in the form for a code."""
    return _page(request, TabletCodeForm(initial={"bay": request.GET.get("bay", "")}))


def _page(request: PersonRequest, form: TabletCodeForm, *, status: int = 200) -> HttpResponse:
    page = TabletList.load(here=tablet_of(request), now=timezone.now())
    return render(request, "shop/tablet_list.html", {"page": page, "form": form}, status=status)


@allowed("shop:tablet_code")
@never_cache
def tablet_code(request: PersonRequest) -> HttpResponse:
    """Make a code for a bay and show it, this once."""
    form = TabletCodeForm(request.POST)
    if not form.is_valid():
        return _page(request, form, status=422)
    bay, name = form.cleaned_data["bay"], form.cleaned_data["name"]
    made, code = make_code(bay, name=name, by=request.user, now=timezone.now())
    return render(request, "shop/tablet_code.html", {"made": made, "code": code})


@require_POST
@sensitive_post_parameters("code")
def tablet_redeem(request: HttpRequest) -> HttpResponse:
    """The device at which the right code is typed is the tablet. What it was before is taken back."""
    now, before = timezone.now(), tablet_of(request)
    try:
        tablet, token = redeem(request.POST.get("code", ""), address=sender_of(request), now=now)
    except CodeRefused as refusal:
        context = {"wrong_code": refusal.message}
        return render(request, "jobs/tablet_unassigned.html", context, status=422)
    if before is not None:
        revoke(before, by=tablet.assigned_by, now=now)
    response = redirect("jobs:tablet")
    give_credential(response, token)
    return response


@allowed("shop:tablet_revoke")
def tablet_revoke(request: PersonRequest, pk: int) -> HttpResponse:
    """Ask, then take a tablet's credential away."""
    tablet = get_object_or_404(Tablet.objects.select_related("bay"), pk=pk, revoked_at=None)
    if request.method == "POST":
        revoke(tablet, by=request.user, now=timezone.now())
        messages.success(request, _("%(tablet)s is a tablet no more") % {"tablet": tablet})
        return redirect("shop:tablet_list")
    return render(request, "shop/tablet_revoke.html", {"tablet": tablet})

"""Which tablets the shop has, which bay each stands in, and taking one back."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.forms import TabletForm
from shop.models import Bay, Tablet
from shop.permissions import allowed
from shop.requests import PersonRequest
from shop.tablets import assign, give_credential, revoke, tablet_of


@dataclass(frozen=True)
class BayTablets:
    """A bay with the tablets that stand in it."""

    bay: Bay
    tablets: tuple[Tablet, ...]


@dataclass(frozen=True)
class TabletList:
    """All bays with their tablets; `here` is the tablet that this very browser is."""

    bays: tuple[BayTablets, ...]
    here: Tablet | None

    @classmethod
    def load(cls, *, here: Tablet | None) -> "TabletList":
        at_work = list(
            Tablet.objects.filter(revoked_at=None).select_related("assigned_by").order_by("assigned_at")
        )
        return cls(
            tuple(
                BayTablets(bay, tuple(t for t in at_work if t.bay_id == bay.pk))
                for bay in Bay.objects.filter(is_open=True)
            ),
            here,
        )


@allowed("shop:tablet_list")
def tablet_list(request: PersonRequest) -> HttpResponse:
    page = TabletList.load(here=tablet_of(request))
    return render(request, "shop/tablet_list.html", {"page": page})


@allowed("shop:tablet_assign")
def tablet_assign(request: PersonRequest) -> HttpResponse:
    """Make this browser the tablet of a bay. What it was before is taken back."""
    form = TabletForm(request.POST)
    before = tablet_of(request)
    if not form.is_valid():
        context = {"page": TabletList.load(here=before), "form": form}
        return render(request, "shop/tablet_list.html", context, status=422)
    now = timezone.now()
    if before is not None:
        revoke(before, by=request.user, now=now)
    tablet, token = assign(form.cleaned_data["bay"], by=request.user, now=now)
    messages.success(request, _("This browser is now the tablet of bay %(bay)s") % {"bay": tablet.bay})
    response = redirect("shop:tablet_list")
    give_credential(response, token)
    return response


@allowed("shop:tablet_revoke")
def tablet_revoke(request: PersonRequest, pk: int) -> HttpResponse:
    """Ask, then take a tablet's credential away."""
    tablet = get_object_or_404(Tablet.objects.select_related("bay"), pk=pk, revoked_at=None)
    if request.method == "GET":
        return render(request, "shop/tablet_revoke.html", {"tablet": tablet})
    revoke(tablet, by=request.user, now=timezone.now())
    messages.success(request, _("%(tablet)s is a tablet no more") % {"tablet": tablet})
    return redirect("shop:tablet_list")

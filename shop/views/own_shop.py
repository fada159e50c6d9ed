"""The shop itself: what the manager keeps, its settings, its bays and when they are closed."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.keeping import keep, take_away
from shop.models import Bay, BayClosure, ShopSettings
from shop.own_shop_page import ShopPage
from shop.permissions import allowed
from shop.requests import PersonRequest
from shop.settings_forms import DAY_NAMES, BayForm, ClosureForm, SettingsForm


@allowed("shop:shop")
def shop(request: PersonRequest) -> HttpResponse:
    """What there is to keep, and what of it wants looking after."""
    page = ShopPage.load(now=timezone.now())
    return render(request, "shop/shop.html", {"page": page})


@allowed("shop:shop_settings")
def shop_settings(request: PersonRequest) -> HttpResponse:
    row = ShopSettings.current()
    added = row.pk is None
    form = SettingsForm(request.POST if request.method == "POST" else None, instance=row)
    if form.is_bound and form.is_valid():
        changed = {"hours" if name.startswith("hours_") else name for name in form.changed_data}
        keep(form.save(commit=False), changed=changed, added=added, by=request.user, now=timezone.now())
        messages.success(request, _("The settings are saved; what is judged from now on goes by them"))
        return redirect("shop:shop_settings")
    context = {"form": form, "hours": [form[f"hours_{day}"] for day in DAY_NAMES]}
    return render(request, "shop/shop_settings.html", context, status=422 if form.is_bound else 200)


@allowed("shop:bay_list")
def bay_list(request: PersonRequest) -> HttpResponse:
    bays = Bay.objects.prefetch_related("closures")
    context = {"bays": bays, "today": timezone.localdate()}
    return render(request, "shop/bay_list.html", context)


@allowed("shop:bay_add")
def bay_add(request: PersonRequest) -> HttpResponse:
    highest = Bay.objects.order_by("-number").first()
    fresh = Bay(number=highest.number + 1 if highest else 1)
    form = BayForm(request.POST if request.method == "POST" else None, instance=fresh)
    if form.is_bound and form.is_valid():
        row = form.save(commit=False)
        keep(row, changed=form.changed_data, added=True, by=request.user, now=timezone.now())
        messages.success(request, _("Bay %(bay)s is there") % {"bay": row})
        return redirect("shop:bay_list")
    return render(request, "shop/bay_add.html", {"form": form}, status=422 if form.is_bound else 200)


@allowed("shop:bay")
def bay(request: PersonRequest, number: int) -> HttpResponse:
    """One bay: its name, whether it is used at all, and the days on which it is closed."""
    found = get_object_or_404(Bay, number=number)
    if request.method == "GET":
        return _page(request, found)
    form = BayForm(request.POST, instance=Bay.objects.get(pk=found.pk))
    if not form.is_valid():
        return _page(request, found, form=form, status=422)
    row = form.save(commit=False)
    keep(row, changed=form.changed_data, added=False, by=request.user, now=timezone.now())
    messages.success(request, _("Bay %(bay)s is changed") % {"bay": row})
    return redirect("shop:bay", row.number)


def _page(request: PersonRequest, found: Bay, *, status: int = 200, **forms: Any) -> HttpResponse:
    context = {
        "bay": found,
        "closures": found.closures.filter(last_day__gte=timezone.localdate()),
        "form": BayForm(instance=found),
        "closure_form": ClosureForm(auto_id="closure-%s"),
        **forms,
    }
    return render(request, "shop/bay.html", context, status=status)


@allowed("shop:closure_add")
def closure_add(request: PersonRequest, number: int) -> HttpResponse:
    found = get_object_or_404(Bay, number=number)
    form = ClosureForm(request.POST, instance=BayClosure(bay=found), auto_id="closure-%s")
    if not form.is_valid():
        return _page(request, found, closure_form=form, status=422)
    row = form.save(commit=False)
    keep(row, changed=form.changed_data, added=True, by=request.user, now=timezone.now())
    messages.success(request, _("Bay %(bay)s takes no car on those days") % {"bay": found})
    return redirect(f"{reverse('shop:bay', args=[number])}#closures")


@allowed("shop:closure_remove")
def closure_remove(request: PersonRequest, number: int, pk: int) -> HttpResponse:
    row = get_object_or_404(BayClosure.objects.select_related("bay"), pk=pk, bay__number=number)
    take_away(row, by=request.user, now=timezone.now())
    messages.success(request, _("Bay %(bay)s is open on those days") % {"bay": row.bay})
    return redirect(f"{reverse('shop:bay', args=[number])}#closures")

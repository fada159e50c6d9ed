"""Customers and their cars: found, looked at, corrected, put together, erased."""

from typing import Any, TypeVar

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.customers.erasing import CannotEraseError, erase_customer, why_not_erased
from jobs.customers.merging import CannotMergeError, kept_of, merge_customers, merge_vehicles
from jobs.desk.customer_forms import CorrectionForm, CustomerForm, VehicleForm
from jobs.desk.customer_pages import CustomerList, CustomerPage, VehiclePage
from shop.actions import may
from shop.fragments import render_page
from shop.keeping import keep
from shop.models import Customer, Vehicle
from shop.permissions import allowed
from shop.requests import PersonRequest

Row = TypeVar("Row", Customer, Vehicle)


@allowed("jobs:customer_list")
def customer_list(request: PersonRequest) -> HttpResponse:
    """Customers and their cars, found as one types; or who may stand in the list twice."""
    page = CustomerList.load(request.GET.dict())
    return render_page(request, "jobs/customer_list.html", {"page": page}, parts=("customers",))


@allowed("jobs:customer")
def customer(request: PersonRequest, pk: int) -> HttpResponse:
    """One customer with every car and job. A merged one leads to the one that was kept."""
    found = get_object_or_404(Customer, pk=pk)
    if found.merged_into_id:
        return redirect("jobs:customer", kept_of(found).pk)
    page = CustomerPage.load(found)
    return render(request, "jobs/customer.html", {"page": page, **_may_change(request)})


@allowed("jobs:vehicle")
def vehicle(request: PersonRequest, pk: int) -> HttpResponse:
    """One car with every job. A merged one leads to the one that was kept."""
    found = get_object_or_404(Vehicle.objects.select_related("customer"), pk=pk)
    if found.merged_into_id:
        return redirect("jobs:vehicle", kept_of(found).pk)
    page = VehiclePage.load(found)
    return render(request, "jobs/vehicle.html", {"page": page, **_may_change(request)})


@allowed("jobs:customer_edit")
def customer_edit(request: PersonRequest, pk: int) -> HttpResponse:
    """Name, phone and e-mail corrected."""
    found = get_object_or_404(Customer.objects.kept(), pk=pk, erased_at=None)
    return _edit(request, found, CustomerForm, "jobs:customer")


@allowed("jobs:vehicle_edit")
def vehicle_edit(request: PersonRequest, pk: int) -> HttpResponse:
    """A car's identity corrected."""
    return _edit(request, get_object_or_404(Vehicle.objects.kept(), pk=pk), VehicleForm, "jobs:vehicle")


@allowed("jobs:customer_merge")
def customer_merge(request: PersonRequest, pk: int, other: int) -> HttpResponse:
    """Asks which of the two is kept, and puts them together."""
    one, two = _two(Customer, pk, other)
    chosen = _chosen(request, one, two)
    if chosen:
        try:
            merge_customers(kept=chosen[0], other=chosen[1], by=request.user, now=timezone.now())
        except CannotMergeError as error:
            messages.error(request, str(error))
        else:
            messages.success(request, _("The two are one now; jobs and cars have moved"))
        return redirect("jobs:customer", chosen[0].pk)
    pages = [CustomerPage.load(one), CustomerPage.load(two)]
    return render(request, "jobs/customer_merge.html", {"pages": pages, "one": one, "two": two})


@allowed("jobs:vehicle_merge")
def vehicle_merge(request: PersonRequest, pk: int, other: int) -> HttpResponse:
    """Asks which of the two cars is kept, and puts them together."""
    one, two = _two(Vehicle, pk, other)
    chosen = _chosen(request, one, two)
    if chosen:
        try:
            merge_vehicles(kept=chosen[0], other=chosen[1], by=request.user, now=timezone.now())
        except CannotMergeError as error:
            messages.error(request, str(error))
        else:
            messages.success(request, _("The two are one car now; its jobs have moved"))
        return redirect("jobs:vehicle", chosen[0].pk)
    pages = [VehiclePage.load(one), VehiclePage.load(two)]
    return render(request, "jobs/vehicle_merge.html", {"pages": pages, "one": one, "two": two})


@allowed("jobs:customer_erase")
def customer_erase(request: PersonRequest, pk: int) -> HttpResponse:
    """Asks, says what is blanked and what stays, and erases."""
    found = get_object_or_404(Customer.objects.kept(), pk=pk)
    if request.method == "POST":
        try:
            erase_customer(found, by=request.user, now=timezone.now())
        except CannotEraseError as error:
            messages.error(request, str(error))
        else:
            messages.success(request, _("Name, phone, e-mail and plates are erased"))
        return redirect("jobs:customer", pk)
    context = {"page": CustomerPage.load(found), "why_not": why_not_erased(found)}
    return render(request, "jobs/customer_erase.html", context)


def _edit(request: PersonRequest, row: Row, kind: type[CorrectionForm], back: str) -> HttpResponse:
    template = f"{back.replace(':', '/')}_edit.html"
    context: dict[str, Any] = {"row": row, "back": back}
    if request.method == "GET":
        return render(request, template, {**context, "form": kind(row)})
    form = kind(row, request.POST)
    if not form.is_valid():
        return render(request, template, {**context, "form": form}, status=422)
    if form.is_overtaken():
        again = form.as_seen_now()
        return render(request, template, {**context, "form": again, "overtaken": True}, status=409)
    changed = form.lay_on()
    if changed:
        keep(row, changed=changed, added=False, by=request.user, now=timezone.now())
        messages.success(request, _("%(what)s is corrected") % {"what": row})
    return redirect(back, row.pk)


def _two(model: type[Row], pk: int, other: int) -> tuple[Row, Row]:
    rows = model._default_manager.filter(merged_into=None)
    return get_object_or_404(rows, pk=pk), get_object_or_404(rows.exclude(pk=pk), pk=other)


def _chosen(request: PersonRequest, one: Row, two: Row) -> tuple[Row, Row] | None:
    """The one to be kept and the other, once it is said which."""
    keep_pk = request.POST.get("keep", "") if request.method == "POST" else ""
    return {str(one.pk): (one, two), str(two.pk): (two, one)}.get(keep_pk)


def _may_change(request: PersonRequest) -> dict[str, bool]:
    return {
        "may_change": may(request.user.role, "jobs:customer_edit", "POST"),
        "may_open": may(request.user.role, "jobs:job_open", "POST"),
    }

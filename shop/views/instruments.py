"""The instruments: which there are, whether each may be trusted, adding, changing and withdrawing one."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.instrument_forms import CalibrationAddForm, InstrumentChangeForm, InstrumentForm
from shop.keeping import keep
from shop.models import Calibration, Instrument
from shop.own_shop_page import InstrumentRow, instrument_rows
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("shop:instrument_list")
def instrument_list(request: PersonRequest) -> HttpResponse:
    rows = instrument_rows(today=timezone.localdate())
    return render(request, "shop/instrument_list.html", {"rows": rows})


@allowed("shop:instrument_add")
def instrument_add(request: PersonRequest) -> HttpResponse:
    form = InstrumentForm(request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        row = form.save(commit=False)
        keep(row, changed=form.changed_data, added=True, by=request.user, now=timezone.now())
        messages.success(request, _("%(code)s is entered; next its calibration") % {"code": row.code})
        return redirect("shop:instrument", row.code)
    return render(request, "shop/instrument_add.html", {"form": form}, status=422 if form.is_bound else 200)


@allowed("shop:instrument")
def instrument(request: PersonRequest, code: str) -> HttpResponse:
    """One instrument with every calibration; withdrawn, it is refused wherever it is picked."""
    found = get_object_or_404(Instrument, code=code)
    if request.method == "GET":
        return _page(request, found)
    form = InstrumentChangeForm(request.POST, instance=Instrument.objects.get(pk=found.pk))
    if not form.is_valid():
        return _page(request, found, form=form, status=422)
    keep(form.save(commit=False), changed=form.changed_data, added=False, by=request.user, now=timezone.now())
    messages.success(request, _("%(code)s is changed") % {"code": code})
    return redirect("shop:instrument", code)


def _page(request: PersonRequest, found: Instrument, *, status: int = 200, **forms: Any) -> HttpResponse:
    context = {
        "instrument": found,
        "row": InstrumentRow(found, timezone.localdate()),
        "calibrations": found.calibrations.order_by("-done_on", "-pk"),
        "form": InstrumentChangeForm(instance=found),
        "calibration_form": CalibrationAddForm(auto_id="calibration-%s"),
        **forms,
    }
    return render(request, "shop/instrument.html", context, status=status)


@allowed("shop:calibration_add")
def calibration_add(request: PersonRequest, code: str) -> HttpResponse:
    """A check that was made; one that was not good takes the instrument out of use at once."""
    found = get_object_or_404(Instrument, code=code)
    fresh = Calibration(instrument=found)
    form = CalibrationAddForm(request.POST, instance=fresh, auto_id="calibration-%s")
    if not form.is_valid():
        return _page(request, found, calibration_form=form, status=422)
    row = form.save(commit=False)
    keep(row, changed=form.changed_data, added=True, by=request.user, now=timezone.now())
    if row.passed:
        messages.success(request, _("The calibration is entered"))
    else:
        said = _(
            "The calibration is entered. Look under Trace at what %(code)s measured since its last good one"
        )
        messages.warning(request, said % {"code": code})
    return redirect(f"{reverse('shop:instrument', args=[code])}#calibrations")

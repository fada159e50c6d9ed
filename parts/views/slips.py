"""Packing slips: what suppliers say that they sent."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from parts.csv_answers import csv_answer
from parts.forms.bringing_in import BringInForm, shown_again
from parts.models import PackingSlip
from parts.slip_files import bring_in_slip, slip_file
from parts.slip_sheet import COLUMNS
from shop.file_errors import FileErrors
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("parts:slip_bring_in")
def slip_bring_in(request: PersonRequest) -> HttpResponse:
    form = BringInForm(request.POST, request.FILES) if request.method == "POST" else BringInForm()
    context = {"form": form, "columns": COLUMNS}
    if request.method != "POST":
        return render(request, "parts/slip_bring_in.html", context)
    if not form.is_valid():
        return render(request, "parts/slip_bring_in.html", context, status=422)
    content = form.content()
    try:
        slip = bring_in_slip(content, by=request.user, now=timezone.now())
    except FileErrors as refusal:
        again = BringInForm(initial=shown_again(form, content))
        context |= {"form": again, "file_errors": refusal.errors}
        return render(request, "parts/slip_bring_in.html", context, status=422)
    names = {"slip": slip.number, "order": slip.order.number}
    messages.success(request, _("Packing slip %(slip)s of %(order)s was brought in.") % names)
    return redirect("parts:order", slip.order.number)


@allowed("parts:slip_export")
def slip_export(request: PersonRequest, pk: int) -> HttpResponse:
    slip = get_object_or_404(PackingSlip.objects.select_related("order"), pk=pk)
    return csv_answer(slip_file(slip), f"{slip.order.number} {slip.number}.csv")

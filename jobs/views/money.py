"""Money on one job: the overview, the estimate, deposit, invoices and credit notes, the pictures."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.desk.invoice_forms import CreditForm, SheetPage
from jobs.desk.money_page import MONEY_ROLES, MoneyPage
from jobs.models import Invoice, InvoiceKind, Job, Photo
from jobs.money.estimates import EstimateError, OvertakenError, keep_draft, offer
from jobs.money.invoices import InvoiceError, credit, issue_closing, issue_deposit
from jobs.recording.payments import TILL_ROLES
from shop.fragments import render_page
from shop.models import Role
from shop.permissions import role_required
from shop.requests import PersonRequest


def _job(number: int) -> Job:
    return get_object_or_404(Job.objects.with_car(), number=number)


@require_GET
@role_required(*sorted(MONEY_ROLES))
def money(request: PersonRequest, number: int) -> HttpResponse:
    """What was estimated, allowed, agreed on the way, spent, invoiced and paid."""
    page = MoneyPage.load(_job(number), viewer=request.user, now=timezone.now())
    return render_page(request, "jobs/money.html", {"page": page}, parts=("money",))


@require_http_methods(["GET", "POST"])
@role_required(*sorted(TILL_ROLES))
def estimate_draft(request: PersonRequest, number: int) -> HttpResponse:
    """The draft: prefilled from the route and the kit, edited here, then offered."""
    job = _job(number)
    if request.method == "GET":
        return _sheet_page(request, "jobs/estimate_draft.html", SheetPage.estimate(job))
    page = SheetPage.estimate(job, posted=request.POST)
    if request.POST.get("do") == "offer":
        page.form.require_prices()
    if not page.form.is_valid:
        return _sheet_page(request, "jobs/estimate_draft.html", page, status=422)
    now = timezone.now()
    try:
        draft = keep_draft(job, page.form.sheet, seen=page.form.seen, by=request.user, now=now)
        if request.POST.get("do") == "offer":
            offer(draft, by=request.user, now=now)
            messages.success(request, _("Estimate %(issue)d is offered") % {"issue": draft.issue})
            return redirect("jobs:money", number)
    except EstimateError as error:
        page = SheetPage.estimate(job, posted=request.POST, error=error.message)
        overtaken = isinstance(error, OvertakenError)
        return _sheet_page(request, "jobs/estimate_draft.html", page, status=409 if overtaken else 422)
    messages.success(request, _("The draft of estimate %(issue)d is saved") % {"issue": draft.issue})
    return redirect("jobs:estimate_draft", number)


@require_http_methods(["GET", "POST"])
@role_required(*sorted(TILL_ROLES))
def invoice_issue(request: PersonRequest, number: int) -> HttpResponse:
    """The closing invoice: prefilled from what was accepted, looked through, issued."""
    job = _job(number)
    if request.method == "GET":
        return _sheet_page(request, "jobs/invoice_issue.html", SheetPage.closing(job))
    page = SheetPage.closing(job, posted=request.POST)
    if not page.form.is_valid:
        return _sheet_page(request, "jobs/invoice_issue.html", page, status=422)
    if request.POST.get("do") != "issue":
        return _sheet_page(request, "jobs/invoice_issue.html", page)
    form = page.form
    try:
        made = issue_closing(job, form.lines, note=form.note, by=request.user, now=timezone.now())
    except InvoiceError as error:
        page = SheetPage.closing(job, posted=request.POST, error=error.message)
        return _sheet_page(request, "jobs/invoice_issue.html", page, status=409)
    messages.success(request, _("Invoice %(number)d is issued") % {"number": made.number})
    return redirect("jobs:money", number)


def _sheet_page(request: PersonRequest, template: str, page: SheetPage, *, status: int = 200) -> HttpResponse:
    context: dict[str, Any] = {"page": page, "errors": page.told}
    return render(request, template, context, status=status)


@require_POST
@role_required(*sorted(TILL_ROLES))
def deposit_ask(request: PersonRequest, number: int) -> HttpResponse:
    """Issue the invoice for the deposit of the accepted estimate."""
    try:
        made = issue_deposit(_job(number), by=request.user, now=timezone.now())
    except InvoiceError as error:
        messages.error(request, error.message)
    else:
        messages.success(request, _("Invoice %(number)d asks for the deposit") % {"number": made.number})
    return redirect("jobs:money", number)


@require_http_methods(["GET", "POST"])
@role_required(*sorted(TILL_ROLES))
def invoice_credit(request: PersonRequest, number: int, invoice: int) -> HttpResponse:
    """Take an invoice back by a credit note, with the reason that stands on it."""
    rows = Invoice.objects.select_related("job__vehicle").exclude(kind=InvoiceKind.CREDIT)
    found = get_object_or_404(rows, job__number=number, number=invoice)
    form = CreditForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            made = credit(found, reason=form.cleaned_data["reason"], by=request.user, now=timezone.now())
        except InvoiceError as error:
            form.add_error(None, error.message)
        else:
            messages.success(request, _("Credit note %(number)d is issued") % {"number": made.number})
            return redirect("jobs:money", number)
    status = 422 if form.is_bound else 200
    context = {"invoice": found, "job": found.job, "form": form}
    return render(request, "jobs/invoice_credit.html", context, status=status)


@require_GET
@role_required(*sorted(Role.values))
def job_photo(request: PersonRequest, number: int, photo: UUID) -> HttpResponse:
    """A photo of a job, for whoever is signed in at a desk."""
    return picture_of(get_object_or_404(Photo, pk=photo, job__number=number))


def picture_of(photo: Photo) -> HttpResponse:
    """The picture itself. Its content never changes, and nobody but its viewer keeps it."""
    try:
        with photo.image.open("rb") as picture:
            response = HttpResponse(picture.read(), content_type="image/jpeg")
    except OSError as error:
        raise Http404 from error
    response["Cache-Control"] = "private, max-age=86400, immutable"
    return response

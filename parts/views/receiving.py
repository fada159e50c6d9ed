"""Receiving a kit: the counting sheet, and what it told."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django_htmx.http import HttpResponseClientRedirect

from parts.answer_words import answer_words
from parts.counting_sheet import CountingSheet, as_slipped
from parts.deadlines import deadlines
from parts.forms.entry import EntryFields
from parts.models import KitOrder, PackingSlip
from parts.receiving import receive as receive_delivery
from parts.reconciling import reconcile
from parts.recounting import lines_of
from parts.views.who import MAY_WRITE
from shop.days import moment_words
from shop.entries import Answer
from shop.models import Outcome, SignedHow
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("parts:receive")
def receive(request: PersonRequest, number: str) -> HttpResponse:
    order = get_object_or_404(KitOrder.objects.with_kit(), number=number)
    slip = _slip(order, request.GET.get("slip", ""))
    if request.method == "GET":
        return _sheet(request, order, CountingSheet(order, slip))
    sheet = CountingSheet(order, slip, request.POST)
    if "fill" in request.POST:
        filled = CountingSheet(order, slip, as_slipped(sheet, request.POST))
        return _sheet(request, order, filled, entry=EntryFields(request.POST))
    entry = EntryFields(request.POST)
    if not entry.is_valid():
        lost = _("The form had lost its identity. What you typed is kept: record it again.")
        return _sheet(request, order, sheet, status=422, said=lost)
    if not sheet.is_valid():
        return _sheet(request, order, sheet, status=422)
    answer = _record(request, order, sheet, entry)
    if answer.accepted:
        return _to_receipt(request, number, answer)
    sheet.refuse(answer.data.get("fields", {}))
    status = 422 if answer.outcome == Outcome.REFUSED else 409
    said = "" if sheet.errors else answer_words(answer)
    return _sheet(request, order, sheet, status=status, said=said)


@allowed("parts:count_verdict")
def count_verdict(request: PersonRequest, number: str) -> HttpResponse:
    """How one line would stand with what is typed in its row: the words beside it."""
    order = get_object_or_404(KitOrder.objects.with_kit(), number=number)
    sheet = CountingSheet(order, _slip(order, request.GET.get("slip", "")), request.GET)
    form = next((one for one in sheet.counts if one.prefix == request.GET.get("row")), None)
    return render(request, "parts/count_verdict.html", {"form": form})


@allowed("parts:receipt")
def receipt(request: PersonRequest, number: str, pk: int) -> HttpResponse:
    order = get_object_or_404(KitOrder.objects.with_kit(), number=number)
    found = get_object_or_404(order.receipts.select_related("slip", "received_by"), pk=pk)
    standing = reconcile(order)
    due = deadlines({order.pk: standing}, today=timezone.localdate()).get(order.pk, ())
    context = {
        "order": order,
        "receipt": found,
        "lines": lines_of(found),
        "standing": standing,
        "deadline": next((one for one in due if one.receipt.pk == found.pk), None),
        "may_write": request.user.role in MAY_WRITE,
    }
    return render(request, "parts/receipt.html", context)


def _slip(order: KitOrder, number: str) -> PackingSlip | None:
    return get_object_or_404(order.slips, number=number) if number else None


def _record(request: PersonRequest, order: KitOrder, sheet: CountingSheet, entry: EntryFields) -> Answer:
    now = timezone.now()
    return receive_delivery(
        order=order,
        delivery=sheet.delivery(),
        entry_id=entry.cleaned_data["entry_id"],
        saw=entry.cleaned_data["saw"],
        signer=request.user,
        signed_how=SignedHow.DESK,
        now=now,
        entered_at=entry.entered_at_by(now),
    )


def _to_receipt(request: PersonRequest, number: str, answer: Answer) -> HttpResponse:
    to = redirect("parts:receipt", number, answer.data["receipt"])
    return HttpResponseClientRedirect(to.url) if request.htmx else to


def _counted_before(order: KitOrder, slip: PackingSlip | None) -> dict[str, str]:
    """The word that a slip was counted already, and the way to that count."""
    last = slip.receipts.select_related("received_by").order_by("pk").last() if slip else None
    if slip is None or last is None:
        return {}
    names = {"slip": slip.number, "when": moment_words(last.received_at), "who": last.received_by}
    words = _(
        "%(slip)s was counted already, %(when)s by %(who)s. What you record here is added to it; if that"
        " count was wrong, count its parts again there."
    )
    return {
        "counted_before": words % names,
        "counted_before_at": reverse("parts:receipt", args=[order.number, last.pk]),
        "counted_before_action": _("To that count"),
    }


def _sheet(
    request: PersonRequest,
    order: KitOrder,
    sheet: CountingSheet,
    *,
    entry: EntryFields | None = None,
    status: int = 200,
    said: str = "",
) -> HttpResponse:
    errors = [("", said)] if said else []
    context = {
        "order": order,
        "sheet": sheet,
        "slips": order.slips.all(),
        "entry": entry or EntryFields.fresh(order),
        "errors": [*errors, *sheet.errors] if request.method == "POST" else [],
        **_counted_before(order, sheet.slip),
    }
    return render(request, "parts/receive.html", context, status=status)

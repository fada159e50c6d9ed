"""Parts beside a delivery: counted again, bought elsewhere, sent back."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _

from parts.buying import buy, must_say_which
from parts.cars import Needs, cars
from parts.entering import Signed
from parts.forms.movements import BuyForm, RecountForm, SendBackForm
from parts.models import KitOrder
from parts.reconciling import reconcile
from parts.recounting import pieces_of, recount
from parts.returning import send_back, to_go_back
from parts.views.entry_page import entry_page
from shop.entries import Answer
from shop.permissions import allowed
from shop.requests import PersonRequest


def order_or_404(number: str) -> KitOrder:
    return get_object_or_404(KitOrder.objects.with_kit(), number=number)


@allowed("parts:recounts")
def recounts(request: PersonRequest, number: str, pk: int, line_pk: int) -> HttpResponse:
    """Set right what was counted of one part of a receipt."""
    order = order_or_404(number)
    found = get_object_or_404(order.receipts.select_related("slip"), pk=pk)
    line = get_object_or_404(found.lines.select_related("kit_line").prefetch_related("recounts"), pk=line_pk)

    def record(form: RecountForm, signed: Signed) -> Answer:
        pieces, reason = form.pieces(line.part_number), form.cleaned_data["reason"]
        return recount(
            order=order, line=line, pieces=pieces, reason=reason, signed=signed, now=timezone.now()
        )

    def done(answer: Answer) -> HttpResponse:
        _tell_of_shortage(request, order, answer)
        return redirect("parts:receipt", number, pk)

    return entry_page(
        request,
        "parts/recounts.html",
        RecountForm(request.POST) if request.method == "POST" else RecountForm.fresh(order),
        {
            "receipt": found,
            "line": line,
            "pieces": pieces_of(line),
            "earlier": line.recounts.select_related("entry__signer").order_by("pk"),
        },
        order=order,
        record=record,
        done=done,
    )


def _tell_of_shortage(request: HttpRequest, order: KitOrder, answer: Answer) -> None:
    """Say at once what a lower count takes away, and from which car."""
    data = answer.data
    if data["short"] <= data["was_short"]:
        messages.success(request, _("%(part)s: the new count holds.") % {"part": data["part_number"]})
        return
    names = {"part": data["part_number"], "short": data["short"], "operation": data["operation"]}
    words = _("%(part)s: now %(short)d short, first needed at %(operation)s.") % names
    car = cars().of_orders([order.pk]).get(order.pk)
    needs = cars().needs([order.pk], now=timezone.now()).get(order.pk, Needs())
    if car is not None and data["operation"] in needs.started:
        words += " " + _("%(operation)s of %(job)s has started: the job says that this part is missing.") % {
            "operation": data["operation"],
            "job": car.job,
        }
    messages.warning(request, words)


@allowed("parts:local_purchases")
def local_purchases(request: PersonRequest, number: str, line_pk: int) -> HttpResponse:
    """Pieces of a line bought elsewhere."""
    order = order_or_404(number)
    kit_line = get_object_or_404(order.kit_revision.lines, pk=line_pk)
    line = next(one for one in reconcile(order).lines if one.kit_line_id == kit_line.pk)

    def record(form: BuyForm, signed: Signed) -> Answer:
        return buy(order=order, line=kit_line, bought=form.bought(), signed=signed, now=timezone.now())

    def done(answer: Answer) -> HttpResponse:
        names = {"count": answer.data["quantity"], "part": answer.data["part_number"]}
        messages.success(request, _("%(count)d of %(part)s count as here.") % names)
        return redirect("parts:order", number)

    return entry_page(
        request,
        "parts/local_purchases.html",
        BuyForm(request.POST) if request.method == "POST" else BuyForm.fresh(order),
        {
            "line": line,
            "kit_line": kit_line,
            "must_say_which": must_say_which(kit_line),
            "earlier": order.local_purchases.filter(kit_line=kit_line).select_related("bought_by"),
        },
        order=order,
        record=record,
        done=done,
    )


@allowed("parts:returns")
def returns(request: PersonRequest, number: str) -> HttpResponse:
    """Pieces sent back to the supplier; the address may name a part and a reason to begin with."""
    order = order_or_404(number)
    given = {name: request.GET.get(name, "") for name in ("part_number", "quantity", "reason")}

    def record(form: SendBackForm, signed: Signed) -> Answer:
        return send_back(order=order, sent=form.sent(), signed=signed, now=timezone.now())

    def done(answer: Answer) -> HttpResponse:
        names = {"count": answer.data["quantity"], "part": answer.data["part_number"]}
        messages.success(request, _("%(count)d of %(part)s are recorded as sent back.") % names)
        return redirect("parts:order", number)

    fresh = SendBackForm.fresh(order, sent_on=timezone.localdate(), **given)
    return entry_page(
        request,
        "parts/returns.html",
        SendBackForm(request.POST) if request.method == "POST" else fresh,
        {
            "rows": to_go_back(reconcile(order)),
            "earlier": order.returns.select_related("sent_by").order_by("pk"),
        },
        order=order,
        record=record,
        done=done,
    )

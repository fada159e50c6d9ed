"""Kit orders: the list of all, one of them, opening one, chasing what is short."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from parts.csv_answers import csv_answer
from parts.entering import Signed
from parts.expecting import expect as expect_part
from parts.forms.orders import ExpectForm, OrderForm
from parts.models import KitOrder
from parts.order_listing import find_orders, list_orders
from parts.order_page import OrderPage, standing_file
from parts.ordering import OrderError, next_number, open_order
from parts.reconciling import reconcile
from parts.views.entry_page import entry_page
from parts.views.who import MAY_WRITE
from shop.entries import Answer
from shop.fragments import render_page
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("parts:order_list")
def order_list(request: PersonRequest) -> HttpResponse:
    query = request.GET.get("q", "").strip()
    state = request.GET.get("state", "")
    sort = request.GET.get("sort", "expected")
    found = list_orders(find_orders(query), state=state, sort=sort, today=timezone.localdate())
    context = {
        "list": found,
        "query": query,
        "state": state,
        "order": sort,
        "may_write": request.user.role in MAY_WRITE,
    }
    return render_page(request, "parts/order_list.html", context, parts=("orders",))


@allowed("parts:order")
def order(request: PersonRequest, number: str) -> HttpResponse:
    found = get_object_or_404(KitOrder.objects.with_kit(), number=number)
    page = OrderPage.of(found, today=timezone.localdate())
    context = {"page": page, "order": page.order, "may_write": request.user.role in MAY_WRITE}
    return render(request, "parts/order.html", context)


@allowed("parts:order_export")
def order_export(request: PersonRequest, number: str) -> HttpResponse:
    found = get_object_or_404(KitOrder, number=number)
    return csv_answer(standing_file(reconcile(found)), f"{number}.csv")


@allowed("parts:order_open")
def order_open(request: PersonRequest) -> HttpResponse:
    initial = {"number": next_number(), "ordered_on": timezone.localdate()}
    form = OrderForm(request.POST if request.method == "POST" else None, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            opened = open_order(**form.cleaned_data, by=request.user, now=timezone.now())
        except OrderError as error:
            form.add_error(error.field, error.message)
        else:
            messages.success(request, _("Kit order %(order)s is open.") % {"order": opened.number})
            return redirect("parts:order", opened.number)
    status = 422 if form.errors else 200
    return render(request, "parts/order_open.html", {"form": form}, status=status)


@allowed("parts:expect")
def expect(request: PersonRequest, number: str, line_pk: int) -> HttpResponse:
    found = get_object_or_404(KitOrder.objects.with_kit(), number=number)
    kit_line = get_object_or_404(found.kit_revision.lines, pk=line_pk)
    line = next(one for one in reconcile(found).lines if one.kit_line_id == kit_line.pk)
    if request.method != "POST" and not line.short:
        messages.info(request, _("%(part)s is all here.") % {"part": line.part_number})
        return redirect("parts:order", number)

    def record(form: ExpectForm, signed: Signed) -> Answer:
        typed = form.cleaned_data
        return expect_part(
            order=found,
            part_number=kit_line.part_number,
            eta=typed["eta"],
            note=typed["note"],
            entry_id=signed.entry_id,
            saw=signed.saw,
            signer=signed.signer,
            signed_how=signed.signed_how,
            now=timezone.now(),
            entered_at=signed.entered_at,
        )

    def done(_answer: Answer) -> HttpResponse:
        if request.GET.get("from") == "missing":
            return redirect(f"{reverse('parts:missing_parts')}#part-{found.pk}-{line_pk}")
        return redirect("parts:order", number)

    return entry_page(
        request,
        "parts/expect.html",
        ExpectForm(request.POST) if request.method == "POST" else ExpectForm.fresh(found),
        {"line": line},
        order=found,
        record=record,
        done=done,
    )

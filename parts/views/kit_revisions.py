"""Two lists of a kit compared, and what a newer one means for each order and its car."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from parts.answer_words import answer_words
from parts.forms.revisions import KitDecisionForm
from parts.kit_pages import kit_compare_page
from parts.kit_pages import kit_floor as floor_of
from parts.kit_superseding import KitChange, decide, kit_change
from parts.models import KitAnswer, KitDefinition, KitOrder
from shop.actions import may
from shop.models import Person, SignedHow
from shop.permissions import allowed
from shop.pins import PinRefused, confirm_pin
from shop.requests import PersonRequest, sender_of


@allowed("parts:kit_compare")
def kit_compare(request: PersonRequest, code: str) -> HttpResponse:
    """What one list changes against another; prints."""
    found = get_object_or_404(KitDefinition, code=code)
    page = kit_compare_page(found, old=request.GET.get("old", ""), new=request.GET.get("new", ""))
    return render(request, "parts/kit_compare.html", {"page": page})


@allowed("parts:kit_floor")
def kit_floor(request: PersonRequest, code: str) -> HttpResponse:
    """Every order by a list of this kit, and what becomes of each."""
    found = get_object_or_404(KitDefinition, code=code)
    orders = floor_of(found, now=timezone.now())
    waiting = sum(each.is_undecided for each in orders)
    return render(request, "parts/kit_floor.html", {"kit": found, "orders": orders, "waiting": waiting})


@allowed("parts:order_revision")
def order_revision(request: PersonRequest, number: str) -> HttpResponse:
    """One order: what the newer list changes for it, what was decided, and the form for a lead."""
    order = get_object_or_404(KitOrder.objects.with_kit(), number=number)
    change = kit_change(order, now=timezone.now())
    form, status = None, 200
    if change is not None and may(request.user.role, "parts:order_revision", "POST"):
        form = KitDecisionForm.fresh(order, to=change.new.revision).ask_of(change)
    if request.method == "POST" and change is not None:
        form = KitDecisionForm(request.POST).ask_of(change)
        if form.is_valid() and _decided(request, order, form):
            return redirect("parts:order_revision", number)
        status = 422 if form.errors else 200
        form = _again(order, request, form, change)
    decisions = order.decisions.select_related("from_revision", "to_revision", "person", "second")
    context = {"order": order, "change": change, "form": form, "decisions": decisions.order_by("-pk")}
    return render(request, "parts/order_revision.html", context, status=status)


def _again(
    order: KitOrder, request: PersonRequest, form: KitDecisionForm, change: KitChange
) -> KitDecisionForm:
    """What was typed, for another entry, with what is wrong."""
    again = KitDecisionForm.renewed(order, request.POST).ask_of(change)
    again.full_clean()
    for field, found in form.errors.items():
        if field not in again.errors:
            again.add_error(field if field in again.fields else None, [str(each) for each in found])
    return again


def _decided(request: PersonRequest, order: KitOrder, form: Any) -> bool:
    """Hand the decision to the door; whether it was taken."""
    now, typed = timezone.now(), form.cleaned_data
    second = _second(request, form)
    _confirm(request, request.user, form, "pin")
    if form.errors:
        return False
    signed = form.signed(request.user, now, how=SignedHow.PIN)
    answer = decide(
        order=order,
        to=typed["to"],
        answer=KitAnswer(typed["answer"]),
        reason=typed["reason"],
        second=second,
        signed=signed,
        now=now,
    )
    if answer.accepted:
        messages.success(request, _("Decided about %(order)s") % {"order": order.number})
        return True
    field = answer.data.get("field")
    form.add_error(field if field in form.fields else None, answer_words(answer))
    return False


def _second(request: PersonRequest, form: Any) -> Person | None:
    name = form.cleaned_data.get("second_username")
    second = Person.objects.filter(username=name, is_active=True).first() if name else None
    if second is not None:
        _confirm(request, second, form, "second_pin")
    return second


def _confirm(request: PersonRequest, person: Person, form: forms.Form, field: str) -> None:
    place = f"desk/{request.user.pk}"
    try:
        confirm_pin(
            person,
            form.cleaned_data.get(field, ""),
            place=place,
            now=timezone.now(),
            address=sender_of(request),
        )
    except PinRefused as refused:
        form.add_error(field, refused.message)

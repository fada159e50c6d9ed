"""A page with one form that records an entry: shown, taken in, or shown again with what was typed."""

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone

from parts.answer_words import answer_words
from parts.entering import Signed
from parts.forms.entry import EntryFields
from parts.models import KitOrder
from shop.entries import Answer
from shop.requests import PersonRequest

Form = TypeVar("Form", bound=EntryFields)


def entry_page(
    request: PersonRequest,
    template: str,
    form: Form,
    context: Mapping[str, Any],
    *,
    order: KitOrder,
    record: Callable[[Form, Signed], Answer],
    done: Callable[[Answer], HttpResponse],
) -> HttpResponse:
    """What the page answers. A form that was not taken comes again whole, for another entry.

    `record` hands the form to the door; `done` says where an accepted entry leads.
    """
    context = {**context, "order": order, "form": form}
    if request.method != "POST" or not form.is_valid():
        return render(request, template, context, status=422 if form.errors else 200)
    answer = record(form, form.signed(request.user, timezone.now()))
    if answer.accepted:
        return done(answer)
    again = type(form).renewed(order, request.POST)
    field = answer.data.get("field")
    again.add_error(field if field in again.fields else None, answer_words(answer))
    return render(request, template, {**context, "form": again}, status=409)

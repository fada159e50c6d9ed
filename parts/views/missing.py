"""Chasing what is missing: one list over all kit orders."""

from django.http import HttpResponse
from django.utils import timezone

from parts.csv_answers import csv_answer
from parts.forms.missing import missing_rows
from parts.missing import missing_file
from parts.missing import missing_parts as every_missing_part
from parts.views.who import MAY_WRITE
from shop.fragments import render_page
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("parts:missing_parts")
def missing_parts(request: PersonRequest) -> HttpResponse:
    """Every missing part by need, overdue ones first, found as one types; a day is told in its row."""
    query = request.GET.get("q", "").strip()
    found = every_missing_part(now=timezone.now(), words=query)
    context = {
        "missing": found,
        "rows": missing_rows(found),
        "query": query,
        "may_write": request.user.role in MAY_WRITE,
    }
    return render_page(request, "parts/missing_parts.html", context, parts=("missing",))


@allowed("parts:missing_parts_export")
def missing_parts_export(request: PersonRequest) -> HttpResponse:
    query = request.GET.get("q", "").strip()
    return csv_answer(missing_file(every_missing_part(now=timezone.now(), words=query)), "missing parts.csv")

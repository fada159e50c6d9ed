"""The page first, the fragment inside it: which of the two an answer is, htmx's target says."""

from collections.abc import Mapping
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render

from shop.requests import HtmxRequest


def render_page(
    request: HtmxRequest,
    template: str,
    context: Mapping[str, Any],
    *,
    parts: tuple[str, ...],
    status: int = 200,
) -> HttpResponse:
    """The page, or the one of its named parts whose element htmx is about to replace."""
    target = request.htmx.target if request.htmx else None
    name = f"{template}#{target}" if target in parts else template
    return render(request, name, context, status=status)

"""The floor page."""

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import condition, require_GET

from jobs.desk.floor_page import FloorPage
from shop.fragments import render_page
from shop.freshness import etag_of_everything
from shop.requests import PersonRequest


@require_GET
@login_required
@condition(etag_func=etag_of_everything)
def floor(request: PersonRequest) -> HttpResponse:
    """Bays, cars, what each waits for. It asks again by itself and is made anew only after a change."""
    page = FloorPage.load(now=timezone.now())
    response = render_page(request, "jobs/floor.html", {"page": page}, parts=("floor",))
    response["Cache-Control"] = "private, no-cache"
    return response

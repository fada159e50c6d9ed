"""The floor page."""

from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import condition

from jobs.desk.floor_page import FloorPage
from shop.actions import may
from shop.fragments import render_page
from shop.freshness import etag_of_everything
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:floor")
@condition(etag_func=etag_of_everything)
def floor(request: PersonRequest) -> HttpResponse:
    """Bays, cars, what each waits for. It asks again by itself and is made anew only after a change."""
    role = request.user.role
    page = FloorPage.load(role=role, now=timezone.now())
    context = {"page": page, "may_see_week": may(role, "jobs:week")}
    response = render_page(request, "jobs/floor.html", context, parts=("floor",))
    response["Cache-Control"] = "private, no-cache"
    return response

"""The page of a lead: everything that waits for a second pair of eyes."""

from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import condition

from jobs.desk.lead_queue import LeadQueue
from shop.fragments import render_page
from shop.freshness import etag_of_everything
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:witness_queue")
@condition(etag_func=etag_of_everything)
def witness_queue(request: PersonRequest) -> HttpResponse:
    """Witnesses, welds, hold points, problems and close calls, across all cars."""
    page = LeadQueue.load(now=timezone.now())
    response = render_page(request, "jobs/witness_queue.html", {"page": page}, parts=("queue",))
    response["Cache-Control"] = "private, no-cache"
    return response

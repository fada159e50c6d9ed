"""The week page."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone

from jobs.desk.week import FEWEST_DAYS, MOST_DAYS, WeekPage
from shop.actions import may
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:week")
def week(request: PersonRequest) -> HttpResponse:
    """The coming five working days, or ten: `?days=5`."""
    count = FEWEST_DAYS if request.GET.get("days") == str(FEWEST_DAYS) else MOST_DAYS
    page = WeekPage.load(now=timezone.now(), count=count)
    role = request.user.role
    context = {
        "page": page,
        "count": count,
        "counts": (FEWEST_DAYS, MOST_DAYS),
        "may_move": may(role, "jobs:car_place"),
        "may_keep": may(role, "shop:person"),
    }
    return render(request, "jobs/week.html", context)

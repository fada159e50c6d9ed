"""Every job and operation in which something of a lot was used."""

from django.http import HttpResponse

from jobs.desk.lot_list import find_lots
from shop.fragments import render_page
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:lots")
def lots(request: PersonRequest) -> HttpResponse:
    """Found as one types; the address carries it, so that it can be sent on."""
    context = {"page": find_lots(request.GET.get("q", ""))}
    return render_page(request, "jobs/lots.html", context, parts=("found",))

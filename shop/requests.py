"""Requests as the middleware hands them on, for the type checker."""

from django.conf import settings
from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from shop.models import Person


class HtmxRequest(HttpRequest):
    htmx: HtmxDetails


class PersonRequest(HtmxRequest):
    """From somebody signed in at a desk."""

    user: Person


def sender_of(request: HttpRequest) -> str:
    """The network address of a sender. Behind the shop's own HTTPS door the last hop says it."""
    forwarded = request.headers.get("X-Forwarded-For", "") if settings.HTTPS else ""
    return forwarded.rpartition(",")[2].strip() or str(request.META.get("REMOTE_ADDR", ""))

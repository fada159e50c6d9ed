"""Requests as the middleware hands them on, for the type checker."""

from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from shop.models import Person


class HtmxRequest(HttpRequest):
    htmx: HtmxDetails


class PersonRequest(HtmxRequest):
    """From somebody signed in at a desk."""

    user: Person

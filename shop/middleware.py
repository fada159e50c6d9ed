"""What every answer needs: caches told apart by htmx's headers, times in the shop's zone."""

from collections.abc import Callable
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.cache import patch_vary_headers

from shop.models import ShopSettings

GetResponse = Callable[[HttpRequest], HttpResponse]


class VaryOnHtmx:
    """A fragment must never be served from a cache as the whole page, nor the other way about."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        patch_vary_headers(response, ["HX-Request", "HX-Target"])
        return response


class ShopTime:
    """Show every time as the shop's clock shows it."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        with timezone.override(ZoneInfo(ShopSettings.current().zone)):
            return self.get_response(request)

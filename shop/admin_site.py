"""The administration pages as a whole: for the manager alone, signed in at the desk's own door."""

from typing import Any

from django.contrib.admin import AdminSite
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext_lazy as _


class ManagersSite(AdminSite):
    site_header = _("Administration")

    def has_permission(self, request: HttpRequest) -> bool:
        """The role decides, beside what the framework asks for: whoever is manager no more is out at once."""
        return super().has_permission(request) and getattr(request.user, "is_manager", False)

    def login(self, request: HttpRequest, extra_context: dict[str, Any] | None = None) -> HttpResponse:
        """There is one door for passwords, with one lock on guessing."""
        wanted = request.GET.get("next", "")
        safe = url_has_allowed_host_and_scheme(wanted, allowed_hosts={request.get_host()})
        return redirect_to_login(wanted if safe else reverse("admin:index"))

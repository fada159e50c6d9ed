"""Signing in and out at a desk, and the way to each person's first page."""

from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render, resolve_url
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from shop.forms import SignInForm
from shop.models import Role
from shop.permissions import allowed
from shop.requests import PersonRequest, sender_of

FIRST_PAGES: dict[str, str] = {
    Role.SERVICE_WRITER: "jobs:job_list",
    Role.FABRICATOR: "jobs:floor",
    Role.LEAD: "jobs:witness_queue",
    Role.PARTS_CLERK: "parts:order_list",
    Role.MANAGER: "jobs:floor",
}


@sensitive_post_parameters("password")
@never_cache
@require_http_methods(["GET", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """Name and password; then to where the person was going."""
    going_to = _safe_address(request)
    if request.user.is_authenticated:
        return HttpResponseRedirect(going_to)
    posted = request.POST if request.method == "POST" else None
    form = SignInForm(request, data=posted, address=sender_of(request))
    if form.is_bound and form.is_valid():
        login(request, form.get_user())
        return HttpResponseRedirect(going_to)
    status = 422 if form.is_bound else 200
    return render(request, "shop/sign_in.html", {"form": form, "next": going_to}, status=status)


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    logout(request)
    return redirect("shop:sign_in")


@allowed("shop:home")
def home(request: PersonRequest) -> HttpResponse:
    """To the page where this person's work begins."""
    return redirect(FIRST_PAGES.get(request.user.role, "jobs:floor"))


def _safe_address(request: HttpRequest) -> str:
    """Where to go next: an address of ours that was asked for, else home."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    safe = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if safe else resolve_url("shop:home")

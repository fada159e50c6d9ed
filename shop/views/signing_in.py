"""Signing in and out at a desk, and the way to each person's first page."""

from django.contrib.auth import login, logout
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.middleware.csrf import REASON_BAD_ORIGIN
from django.shortcuts import redirect, render, resolve_url
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST

from shop.first_manager import is_empty
from shop.forms import SignInForm
from shop.models import Role
from shop.permissions import allowed
from shop.requests import PersonRequest, sender_of
from shop.unsent import Unsent, show_unsent

ANOTHER_ORIGIN = REASON_BAD_ORIGIN.partition(" - ")[0]
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
    unsent = Unsent.read(request.POST.get("unsent", ""))
    if request.user.is_authenticated:
        return show_unsent(request, unsent) if unsent else HttpResponseRedirect(going_to)
    if request.method == "GET" and is_empty():
        return redirect("shop:first_manager")
    posted = request.POST if request.method == "POST" else None
    form = SignInForm(request, data=posted, address=sender_of(request))
    if form.is_bound and form.is_valid():
        login(request, form.get_user())
        if unsent is not None:
            return show_unsent(request, unsent)
        return HttpResponseRedirect(going_to)
    status = 422 if form.is_bound else 200
    context = {"form": form, "next": going_to, "unsent": unsent}
    return render(request, "shop/sign_in.html", context, status=status)


def page_too_old(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form without the token of this sign-in. Whoever is signed in looks at what it held and sends it.

    A form that another site sends brings no session along, so nobody is signed in then: nothing is offered.
    """
    if request.user.is_authenticated and not reason.startswith(ANOTHER_ORIGIN) and request.POST:
        return show_unsent(request, Unsent.of(request), status=409)
    return render(request, "403_csrf.html", {"reason": reason}, status=403)


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

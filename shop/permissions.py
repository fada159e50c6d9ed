"""The guards of the pages at a desk. Who may use an address, and how, is said in `shop.actions` alone."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, cast

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseNotAllowed
from django.shortcuts import render
from django.utils.translation import gettext as _

from shop.actions import ACTIONS, EVERYONE, Who, role_words
from shop.forms import SignInForm
from shop.requests import PersonRequest
from shop.unsent import Unsent, over_the_page

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponse]
DeskView = Callable[Concatenate[PersonRequest, P], HttpResponse]


def allowed(name: str) -> Callable[[DeskView[P]], View[P]]:
    """Let in whom the table of actions lets in at the address of that name, by the methods that it has."""
    action = ACTIONS[name]

    def guard(view: DeskView[P]) -> View[P]:
        @wraps(view)
        def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
            if not request.user.is_authenticated:
                return ask_to_sign_in(request)
            who = action.who_may(request.method or "")
            if who is None:
                return HttpResponseNotAllowed(
                    [*action.methods, *(["HEAD"] if "GET" in action.methods else [])]
                )
            _require(request.user.role, who)
            return view(cast("PersonRequest", request), *args, **kwargs)

        guarded.takes_from_table = name  # type: ignore[attr-defined]
        return guarded

    return guard


def role_required(*roles: str) -> Callable[[DeskView[P]], View[P]]:
    """Let only people of these roles in; others are asked to sign in, or told who may."""

    def guard(view: DeskView[P]) -> View[P]:
        @wraps(view)
        def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
            if not request.user.is_authenticated:
                return ask_to_sign_in(request)
            _require(request.user.role, frozenset(roles))
            return view(cast("PersonRequest", request), *args, **kwargs)

        return guarded

    return guard


def ask_to_sign_in(request: HttpRequest) -> HttpResponse:
    """Whoever wanted a page gets there after signing in; what somebody sent is kept on the way."""
    if request.method != "POST" or not request.POST:
        return redirect_to_login(request.get_full_path())
    form, unsent = SignInForm(request), Unsent.of(request)
    page = render(request, "shop/sign_in.html", {"form": form, "unsent": unsent, "next": ""}, status=401)
    return over_the_page(page)


def _require(role: str, who: Who) -> None:
    if role not in who:
        names = role_words(who & EVERYONE)
        raise PermissionDenied(_("This is done by: %(roles)s") % {"roles": names})

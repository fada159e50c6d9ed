"""Who may look at papers: whoever is signed in at a desk, and the tablets of the bays."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from django.contrib.auth.views import redirect_to_login
from django.http import HttpResponse
from django.http.response import HttpResponseBase

from shop.requests import HtmxRequest
from shop.tablets import tablet_of

P = ParamSpec("P")
R = TypeVar("R", bound=HttpResponseBase)
View = Callable[Concatenate[HtmxRequest, P], R]


def desk_or_tablet(view: View[P, R]) -> View[P, R | HttpResponse]:
    @wraps(view)
    def guarded(request: HtmxRequest, /, *args: P.args, **kwargs: P.kwargs) -> R | HttpResponse:
        if request.user.is_authenticated or tablet_of(request) is not None:
            return view(request, *args, **kwargs)
        return redirect_to_login(request.get_full_path())

    return guarded

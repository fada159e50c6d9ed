"""Who may open which page: everybody of the shop looks, a page that changes something names its roles."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, cast

from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _

from shop.models import Role
from shop.requests import PersonRequest

P = ParamSpec("P")
View = Callable[Concatenate[HttpRequest, P], HttpResponse]
DeskView = Callable[Concatenate[PersonRequest, P], HttpResponse]


def role_required(*roles: str) -> Callable[[DeskView[P]], View[P]]:
    """Let only people of these roles in; others are asked to sign in, or told who may."""

    def guard(view: DeskView[P]) -> View[P]:
        @wraps(view)
        def guarded(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
            if not request.user.is_authenticated:
                return redirect_to_login(request.get_full_path())
            if request.user.role not in roles:
                names = ", ".join(str(Role(role).label) for role in roles)
                raise PermissionDenied(_("This is done by: %(roles)s") % {"roles": names})
            return view(cast("PersonRequest", request), *args, **kwargs)

        return guarded

    return guard

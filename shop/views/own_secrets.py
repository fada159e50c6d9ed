"""The page on which somebody sets their own password or PIN. Its address is all that is asked for."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters, sensitive_variables
from django.views.decorators.http import require_http_methods

from shop.own_secrets import SecretRefused, set_secret, ticket_of

# Whoever is signed in at this browser is somebody else: no way on from here, no name in the band.
BARE = {"nav": (), "user": None}


@require_http_methods(["GET", "POST"])
@never_cache
@sensitive_post_parameters("first", "again")
@sensitive_variables("first", "again")
def own_secret(request: HttpRequest, token: str) -> HttpResponse:
    """Typed twice, never shown, set once."""
    now = timezone.now()
    ticket = ticket_of(token, now=now)
    if ticket is None:
        return render(request, "shop/own_secret_gone.html", {**BARE}, status=404)
    context = {"ticket": ticket, "person": ticket.person, **BARE}
    if request.method == "GET":
        return render(request, "shop/own_secret.html", context)
    first, again = (request.POST.get(name, "") for name in ("first", "again"))
    if ticket.is_pin:
        first, again = first.strip(), again.strip()
    try:
        set_secret(token, first, again, now=now)
    except SecretRefused as refusal:
        return render(request, "shop/own_secret.html", {**context, "wrong": refusal.message}, status=422)
    return render(request, "shop/own_secret.html", {**context, "is_set": True})

"""The page by which a shop begins; it is there as long as nobody belongs to the shop."""

from django.contrib import messages
from django.contrib.auth import login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters, sensitive_variables
from django.views.decorators.http import require_http_methods

from shop.first_manager import BegunAlreadyError, begin_shop, is_empty
from shop.first_manager_form import FirstManagerForm
from shop.requests import sender_of


@require_http_methods(["GET", "POST"])
@never_cache
@sensitive_post_parameters("password", "password_again", "pin", "pin_again")
@sensitive_variables("form")
def first_manager(request: HttpRequest) -> HttpResponse:
    """Who is first takes themselves in as manager, and is signed in."""
    if not is_empty():
        return redirect("shop:home")
    now, posted = timezone.now(), request.POST if request.method == "POST" else None
    form = FirstManagerForm(posted, address=sender_of(request), now=now)
    if not form.is_valid():
        status = 422 if form.is_bound else 200
        return render(request, "shop/first_manager.html", {"form": form}, status=status)
    given = form.cleaned_data
    try:
        person = begin_shop(form.settings, form.person, password=given["password"], pin=given["pin"], now=now)
    except BegunAlreadyError:
        return redirect("shop:home")
    login(request, person)
    messages.success(request, _("The shop is begun, and you are its manager"))
    return redirect("shop:home")

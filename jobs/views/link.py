"""The customer's private link: made and revoked at the desk; opened and answered without signing in."""

import uuid
from collections.abc import Callable
from functools import wraps
from typing import Any
from uuid import UUID

import segno
from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_variables
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.bad_input import BadInput
from jobs.customer_link.answering import record_customer_answer
from jobs.customer_link.links import find_link, make_link, note_opened, revoke_link
from jobs.customer_link.pace import ANSWERS, LOOKS, MISSES, Pace
from jobs.customer_link.page import CustomerPage
from jobs.desk.money_page import LinkRow
from jobs.models import CustomerLink, Job, Photo
from jobs.recording.authority import DESK_ROLES
from jobs.views.money import picture_of
from shop.models import Outcome
from shop.permissions import role_required
from shop.requests import PersonRequest, sender_of

LinkView = Callable[..., HttpResponseBase]
TokenView = Callable[..., HttpResponseBase]


@require_http_methods(["GET", "POST"])
@role_required(*sorted(DESK_ROLES))
def link_make(request: PersonRequest, number: int) -> HttpResponse:
    """The links of a job; a new one is shown once, to be sent or held up to the customer's phone."""
    job, now = get_object_or_404(Job.objects.with_car(), number=number), timezone.now()
    context: dict[str, Any] = {"job": job, "wish": uuid.uuid4()}
    if request.method == "POST":
        made, token = make_link(job, wish=_wish(request), by=request.user, now=now)
        address = settings.SITE_ADDRESS + reverse("jobs:customer_link", args=[token])
        context |= {"made": LinkRow(made, now), "address": address, "code": _drawn(address)}
    context["links"] = [LinkRow(row, now) for row in job.links.select_related("made_by")]
    response = render(request, "jobs/link_make.html", context)
    response["Cache-Control"] = "no-store, private"
    return response


def _wish(request: HttpRequest) -> UUID:
    try:
        return UUID(request.POST.get("wish", ""))
    except ValueError as error:
        raise Http404 from error


def _drawn(address: str) -> str:
    code = segno.make(address, error="m", micro=False, boost_error=False)
    drawn = code.svg_inline(border=4, omitsize=True, svgclass="link-code", lineclass=None, light="#fff")
    return mark_safe(drawn)  # noqa: S308 - made of squares alone


@require_POST
@role_required(*sorted(DESK_ROLES))
def link_revoke(request: PersonRequest, number: int, link: int) -> HttpResponse:
    """Take a link back."""
    found = get_object_or_404(CustomerLink.objects.select_related("job"), pk=link, job__number=number)
    revoke_link(found, by=request.user, now=timezone.now())
    messages.success(request, _("The link does not work any more"))
    return redirect("jobs:link_make", number)


def with_link(pace: Pace) -> Callable[[LinkView], TokenView]:
    """Only for a link that holds. All others get one page that tells nothing of why."""

    def guard(view: LinkView) -> TokenView:
        @wraps(view)
        @sensitive_variables("token")
        def guarded(request: HttpRequest, token: str, **of: Any) -> HttpResponseBase:
            sender, now = sender_of(request), timezone.now()
            if MISSES.is_spent(sender, now=now):
                return _kept_private(_too_often(request, MISSES))
            link = find_link(token, now=now)
            if link is None:
                if not MISSES.is_kept(sender, now=now):
                    return _kept_private(_too_often(request, MISSES))
                gone = render(request, "jobs/customer_link/gone.html", {"slow": False}, status=404)
                return _kept_private(gone)
            if not pace.is_kept(str(link.pk), now=now):
                return _kept_private(_too_often(request, pace))
            return _kept_private(view(request, link, **of))

        return guarded

    return guard


def _too_often(request: HttpRequest, pace: Pace) -> HttpResponse:
    response = render(request, "jobs/customer_link/gone.html", {"slow": True}, status=429)
    response["Retry-After"] = str(pace.seconds)
    return response


def _kept_private(response: HttpResponseBase) -> HttpResponseBase:
    """Found by no search engine, kept by no cache, its address told to nobody else.

    `same-origin` rather than `no-referrer`: with that, browsers send a form without saying from where, and
    the protection against forged forms would refuse it.
    """
    response["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    response["Referrer-Policy"] = "same-origin"
    response["Cache-Control"] = "no-store, private"
    return response


@require_GET
@with_link(LOOKS)
def customer_link(request: HttpRequest, link: CustomerLink) -> HttpResponseBase:
    """What the customer sees."""
    now = timezone.now()
    note_opened(link, now=now)
    return _page(request, CustomerPage.load(link, now=now))


@require_POST
@with_link(ANSWERS)
def customer_link_answer(request: HttpRequest, link: CustomerLink) -> HttpResponseBase:
    """The customer's yes or no. Sent twice it is one answer."""
    now = timezone.now()
    posted = {name: str(value) for name, value in request.POST.items()}
    try:
        answer = record_customer_answer(link, posted, now=now)
    except BadInput as bad:
        return _page(request, CustomerPage.load(link, now=now), status=422, typed=posted, wrong=bad.errors)
    if not answer.accepted:
        said = _("This was answered in the meantime; below you see how it stands.")
        if answer.outcome == Outcome.REFUSED:
            said = str(answer.data.get("message", said))
        return _page(request, CustomerPage.load(link, now=now), status=409, said=said)
    yes = answer.data.get("answer") == "yes"
    messages.success(request, _("Thank you. Your yes is recorded.") if yes else _("Your no is recorded."))
    return redirect(request.path.removesuffix("answer/"))


def _page(request: HttpRequest, page: CustomerPage, *, status: int = 200, **told: Any) -> HttpResponse:
    # Relative to both: the page, and the page that answers a wrong sending.
    here = request.path.removesuffix("answer/")
    context = {"page": page, "here": here, "action": f"{here}answer/", **told}
    return render(request, "jobs/customer_link.html", context, status=status)


@require_GET
@with_link(LOOKS)
def customer_link_photo(request: HttpRequest, link: CustomerLink, photo: UUID) -> HttpResponseBase:
    """A photo of the extra work that is asked for."""
    found = get_object_or_404(Photo, pk=photo, job=link.job_id)
    if not any(str(photo) in extra.photo_ids for extra in link.job.extra_works.all()):
        raise Http404
    return picture_of(found)

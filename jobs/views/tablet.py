"""The tablet in the bay: the car, the operation in hand, one checkpoint at a time."""

import uuid
from dataclasses import replace
from typing import Any
from urllib.parse import quote, urlencode

from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotModified, JsonResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from jobs.bad_input import BadInput
from jobs.bay.kept_input import KeptInput, kept_in
from jobs.bay.panels import Typed
from jobs.bay.tablet_decisions import section_of
from jobs.bay.tablet_page import OperationPage, operation_etag, operation_page
from jobs.pictures import store_picture
from jobs.posted import BY_NUMBER, apart, posted_entry
from jobs.recording import FloorEntry, UnknownPlaceError, record_entry
from jobs.views.bay import is_in_bay, job_in_bay, show_operation, turn_now, turn_over, turn_required
from jobs.views.tablet_asides import ASIDES
from jobs.views.tablet_signing import signer_of, with_second
from shop.entries import Answer
from shop.models import Outcome, Turn
from shop.tablets import tablet_of

# What leaves the operation for the bay's first screen.
LEAVING = frozenset({"pause", "hand_over"})


@require_GET
@turn_required
def tablet_operation(request: HttpRequest, turn: Turn, number: int, code: str) -> HttpResponse:
    """One operation with all its checkpoints. Unchanged, it is not sent again."""
    job, now, at = job_in_bay(turn, number), timezone.now(), request.GET.get("at", "")
    etag = operation_etag(job, code, turn=turn, now=now, at=at)
    if request.headers.get("If-None-Match") == etag:
        response: HttpResponse = HttpResponseNotModified()
    else:
        response = _operation(request, operation_page(job, code, turn=turn, now=now, at=at))
    response["ETag"] = etag
    response["Cache-Control"] = "private, no-cache"
    return response


def _operation(
    request: HttpRequest, page: OperationPage | None, *, status: int = 200, **more: Any
) -> HttpResponse:
    if page is None:
        raise Http404
    return show_operation(request, page, status=status, **more)


@require_GET
@turn_required
def tablet_thresholds(request: HttpRequest, turn: Turn, number: int, code: str) -> HttpResponse:
    """Where the verdicts change, as whole numbers, for every checkpoint with each instrument: for clients."""
    page = operation_page(job_in_bay(turn, number), code, turn=turn, now=timezone.now())
    if page is None:
        raise Http404
    return JsonResponse({"operation": code, "checkpoints": page.thresholds, "deviations": page.deviations})


@require_POST
def tablet_entry(request: HttpRequest, number: int) -> HttpResponse:
    """The door, from the tablet."""
    found = tablet_of(request)
    turn = turn_now(found) if found else None
    if found is None:
        return redirect("jobs:tablet")
    code, typed = request.POST.get("subject", "").partition("/")[0], _typed(request)
    if turn is None:
        return turn_over(request, found, KeptInput(number, code, typed))
    if not is_in_bay(turn, number):
        raise Http404
    opened_in = request.POST.get("turn", "")
    if opened_in and opened_in != str(turn.pk):
        return _of_another_turn(request, turn, number, typed)
    return _record(request, turn, number, typed)


def _record(request: HttpRequest, turn: Turn, number: int, typed: Typed) -> HttpResponse:
    try:
        sent = _sent(request, turn, number)
        photo = request.FILES.get("photo")
        if isinstance(photo, UploadedFile):
            photo_id = _take_photo(photo, sent)
            sent.payload["photo"] = photo_id
            typed = replace(typed, values={**typed.values, "photo": photo_id})
        answer = record_entry(sent, now=timezone.now())
    except BadInput as bad:
        return _again(request, turn, number, replace(typed, errors=bad.errors), status=422)
    except UnknownPlaceError as error:
        raise Http404 from error
    if answer.accepted:
        return _recorded(request, turn, number, typed)
    status = 422 if answer.outcome == Outcome.REFUSED else 409
    return _again(request, turn, number, typed, status=status, answer=answer)


def _sent(request: HttpRequest, turn: Turn, number: int) -> FloorEntry:
    """The entry as it was posted, signed by whoever is in turn or gave a PIN for it."""
    signer, how = signer_of(request, turn)
    sent = posted_entry(request, number=number, signer=signer, signed_how=how, tablet_id=turn.tablet_id)
    return with_second(request, turn, apart(sent))


def _typed(request: HttpRequest) -> Typed:
    """What was typed, and where on the page it belongs."""
    values = {k[2:]: v for k, v in request.POST.items() if k.startswith("p_") and isinstance(v, str)}
    values |= {name: v for name in BY_NUMBER if (v := values.pop(f"{name}_number", "").strip())}
    code = request.POST.get("subject", "").partition("/")[0]
    return Typed(_section(request.POST.get("kind", ""), values, code), values)


def _recorded(request: HttpRequest, turn: Turn, number: int, typed: Typed) -> HttpResponse:
    """On to where it shows; what waited for the cautions to be read stands there again."""
    code, kept = request.POST.get("subject", "").partition("/")[0], kept_in(request.POST)
    if kept is not None and kept.subject == code:
        told = _("Not recorded yet: what you entered is still here. Record it now.")
        return _operation(request, _page(turn, number, code, kept.typed), told=told)
    if request.POST.get("kind") in LEAVING:
        return redirect("jobs:tablet")
    if request.POST.get("kind") == "weld_made":
        return redirect("jobs:tablet_welds", number, code)
    here = reverse("jobs:tablet_operation", args=[number, code])
    return redirect(f"{here}?{urlencode({'at': typed.code})}#{quote(typed.code)}")


def _page(turn: Turn, number: int, code: str, typed: Typed) -> OperationPage | None:
    job = job_in_bay(turn, number)
    return operation_page(job, code, turn=turn, now=timezone.now(), at=typed.code, typed=typed)


def _again(
    request: HttpRequest, turn: Turn, number: int, typed: Typed, *, status: int, answer: Answer | None = None
) -> HttpResponse:
    """Not understood, refused with reasons, or overtaken by another entry: what was typed stays."""
    page = _page(turn, number, request.POST.get("subject", "").partition("/")[0], typed)
    aside = ASIDES.get(request.POST.get("kind", ""))
    if page is not None and aside is not None:
        told = str(answer.data.get("message", "")) if answer else ""
        return aside(request, page, typed=typed, told=told, status=status)
    if page is not None and answer is not None and answer.data.get("cautions"):
        page = replace(page, is_held=True)
    return _operation(request, page, status=status, answer=answer, answer_at=typed.code)


def _of_another_turn(request: HttpRequest, turn: Turn, number: int, typed: Typed) -> HttpResponse:
    """The page was opened in somebody else's turn: nothing is signed in this one's name unseen."""
    before = Turn.objects.filter(pk=_key(request.POST.get("turn", ""))).select_related("person").first()
    told = _("Not recorded: the page was opened in %(before)s's turn, and now it is %(now)s's. ") % {
        "before": before.person if before else _("another"),
        "now": turn.person,
    }
    told += _("What was entered is still here; look at it and record it.")
    page = _page(turn, number, request.POST.get("subject", "").partition("/")[0], typed)
    return _operation(request, page, status=409, told=told)


def _key(given: str) -> int:
    return int(given) if given.isascii() and given.isdecimal() and len(given) < 18 else 0


def _section(kind: str, values: dict[str, str], code: str) -> str:
    """Where on the page an entry was made; there its answer is shown."""
    if values.get("nonconformance"):
        return section_of(values["nonconformance"])
    return values.get("checkpoint") or ("finish" if kind == "finish" else code)


def _take_photo(photo: "UploadedFile[bytes]", sent: FloorEntry) -> str:
    """The photo goes in first, as an entry of its own, so that no error after it loses it."""
    stored = store_picture(photo)
    photo_id = uuid.uuid5(sent.id, "photo")
    answer = record_entry(
        FloorEntry(
            id=photo_id,
            job_number=sent.job_number,
            subject=f"photo/{photo_id.hex[:24]}",
            kind="photo",
            signer=sent.signer,
            signed_how=sent.signed_how,
            payload={
                "file": stored.name,
                "sha256": stored.sha256,
                "caption": str(sent.payload.get("checkpoint", "")),
            },
            entered_at=sent.entered_at,
            tablet_id=sent.tablet_id,
        ),
        now=timezone.now(),
    )
    if not answer.accepted:
        raise BadInput({"photo": _("The photo was not recorded; take it again")})
    return str(answer.data["photo"])

"""The tablet in the bay: the car, the operation in hand, one checkpoint at a time."""

import uuid
from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec
from urllib.parse import quote, urlencode

from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotModified, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.assigning import assignments_of
from jobs.bad_input import BadInput
from jobs.models import Job
from jobs.panels import Typed
from jobs.pictures import store_picture
from jobs.posted import posted_entry
from jobs.record import JobRecord
from jobs.recording import FloorEntry, UnknownPlaceError, record_entry
from jobs.tablet_page import OperationPage, operation_etag, operation_page
from shop.actions import TURN_ROLES
from shop.entries import Answer
from shop.models import Outcome, Person, Role, SignedHow, Tablet, Turn
from shop.pins import PinRefused, confirm_pin
from shop.requests import sender_of
from shop.tablets import begin_turn, end_turn, place_of, rotate, tablet_of, turn_of

P = ParamSpec("P")
TurnView = Callable[Concatenate[HttpRequest, Turn, P], HttpResponse]
View = Callable[Concatenate[HttpRequest, P], HttpResponse]
PROBLEM_WORDS = (
    "Part does not fit",
    "Part is damaged",
    "Rust or an old repair",
    "Mark or cut is wrong",
    "Does not match the drawing",
    "Tool or instrument is bad",
    "Somebody is hurt or nearly was",
)


def turn_required(view: TurnView[P]) -> View[P]:
    """Only for a tablet of the shop with somebody in turn; else to the page where a turn begins."""

    @wraps(view)
    def inner(request: HttpRequest, /, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        tablet = tablet_of(request)
        turn = turn_of(tablet) if tablet else None
        if turn is None:
            return redirect("jobs:tablet")
        return view(request, turn, *args, **kwargs)

    return inner


@require_GET
def tablet(request: HttpRequest) -> HttpResponse:
    """The bay: its car and what is to be done on it, or who begins a turn."""
    found = tablet_of(request)
    if found is None:
        return render(request, "jobs/tablet_unassigned.html", status=403)
    return _bay_page(request, found, turn_of(found))


def _bay_page(
    request: HttpRequest, found: Tablet, turn: Turn | None, *, error: str = "", status: int = 200
) -> HttpResponse:
    jobs = found.bay.jobs.filter(released_at=None).select_related(
        "vehicle", "bay", "kit_order__kit_revision__kit"
    )
    records, assigned = [JobRecord.load(job) for job in jobs], assignments_of(jobs)
    context = {
        "assigned": [row for of_job in assigned.values() for row in of_job],
        "tablet": found,
        "turn": turn,
        "records": records,
        "people": Person.objects.filter(is_active=True, role__in=TURN_ROLES),
        "error": error,
        "chosen": request.POST.get("username", ""),
    }
    return render(request, "jobs/tablet.html", context, status=status)


@require_POST
def tablet_turn(request: HttpRequest) -> HttpResponse:
    """Begin a turn by name and PIN."""
    found = tablet_of(request)
    if found is None:
        return redirect("jobs:tablet")
    people = Person.objects.filter(is_active=True, role__in=TURN_ROLES)
    person = people.filter(username=request.POST.get("username", "")).first()
    if person is None:
        return _bay_page(request, found, None, error=_("Choose your name"), status=422)
    try:
        pin = request.POST.get("pin", "")
        begin_turn(found, person, pin, now=timezone.now(), address=sender_of(request))
    except PinRefused as refusal:
        return _bay_page(request, found, None, error=str(refusal), status=422)
    rotate(request)
    return redirect("jobs:tablet")


@require_POST
def tablet_turn_end(request: HttpRequest) -> HttpResponse:
    """End the turn; what was entered is kept."""
    found = tablet_of(request)
    turn = turn_of(found) if found else None
    if turn is not None:
        end_turn(turn, now=timezone.now())
    return redirect("jobs:tablet")


def _job_in_bay(turn: Turn, number: int) -> Job:
    """A tablet sees the cars of its own bay."""
    return get_object_or_404(
        Job.objects.select_related("vehicle", "bay", "kit_order__kit_revision__kit"),
        number=number,
        bay=turn.tablet.bay,
    )


@require_GET
@turn_required
def tablet_operation(request: HttpRequest, turn: Turn, number: int, code: str) -> HttpResponse:
    """One operation with all its checkpoints. Unchanged, it is not sent again."""
    job, now, at = _job_in_bay(turn, number), timezone.now(), request.GET.get("at", "")
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
    context = {"page": page, "turn": page.turn, "people": _others(page.turn), **more}
    return render(request, "jobs/tablet_operation.html", context, status=status)


def _others(turn: Turn) -> list[Person]:
    """Who else may sign here with a PIN."""
    people = Person.objects.filter(is_active=True, role__in=[Role.FABRICATOR, Role.LEAD])
    return list(people.exclude(pk=turn.person_id))


@require_GET
@turn_required
def tablet_thresholds(request: HttpRequest, turn: Turn, number: int, code: str) -> HttpResponse:
    """Where the verdicts change, as whole numbers, for every checkpoint with each instrument: for clients."""
    page = operation_page(_job_in_bay(turn, number), code, turn=turn, now=timezone.now())
    if page is None:
        raise Http404
    return JsonResponse({"operation": code, "checkpoints": page.thresholds, "deviations": page.deviations})


@require_http_methods(["GET"])
@turn_required
def tablet_problem(request: HttpRequest, turn: Turn, number: int, code: str) -> HttpResponse:
    """Stop: what is wrong? One touch says it, another records it."""
    page = operation_page(_job_in_bay(turn, number), code, turn=turn, now=timezone.now())
    if page is None:
        raise Http404
    at = request.GET.get("at", "")
    context = {"page": page, "turn": turn, "words": [_(word) for word in PROBLEM_WORDS], "at": at}
    return render(request, "jobs/tablet_problem.html", context)


@require_POST
@turn_required
def tablet_entry(request: HttpRequest, turn: Turn, number: int) -> HttpResponse:
    """The door, from the tablet."""
    job, now = _job_in_bay(turn, number), timezone.now()
    code = request.POST.get("subject", "")
    values = {k[2:]: v for k, v in request.POST.items() if k.startswith("p_") and isinstance(v, str)}
    at = values.get("checkpoint") or ("finish" if request.POST.get("kind") == "finish" else code)
    try:
        signer, how = _signer(request, turn)
        sent = posted_entry(request, number=number, signer=signer, signed_how=how, tablet_id=turn.tablet_id)
        photo = request.FILES.get("photo")
        if isinstance(photo, UploadedFile):
            values["photo"] = sent.payload["photo"] = _take_photo(photo, sent)
        answer = record_entry(sent, now=now)
    except BadInput as bad:
        typed = Typed(at, values, bad.errors)
        page = operation_page(job, code, turn=turn, now=now, at=at, typed=typed)
        return _operation(request, page, status=422)
    except UnknownPlaceError as error:
        raise Http404 from error
    if answer.accepted:
        here = reverse("jobs:tablet_operation", args=[number, code])
        return redirect(f"{here}?{urlencode({'at': at})}#{quote(at)}")
    return _not_recorded(request, turn, job, answer, Typed(at, values))


def _not_recorded(request: HttpRequest, turn: Turn, job: Job, answer: Answer, typed: Typed) -> HttpResponse:
    """Refused with reasons, or overtaken by another entry: what was typed stays."""
    code = request.POST.get("subject", "")
    page = operation_page(job, code, turn=turn, now=timezone.now(), at=typed.code, typed=typed)
    status = 422 if answer.outcome == Outcome.REFUSED else 409
    return _operation(request, page, status=status, answer=answer, answer_at=typed.code)


def _signer(request: HttpRequest, turn: Turn) -> tuple[Person, str]:
    """Whoever is in turn; or somebody else who signs this one entry with a PIN."""
    username = request.POST.get("person", "")
    if not username and not request.POST.get("pin"):
        return turn.person, SignedHow.TURN
    person = Person.objects.filter(username=username or turn.person.username, is_active=True).first()
    if person is None:
        raise BadInput({"person": _("Choose who signs")})
    try:
        pin, address = request.POST.get("pin", ""), sender_of(request)
        confirm_pin(person, pin, place=place_of(turn.tablet), now=timezone.now(), address=address)
    except PinRefused as refusal:
        raise BadInput({"pin": str(refusal)}) from refusal
    return person, SignedHow.PIN


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

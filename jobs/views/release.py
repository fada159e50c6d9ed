"""The release of a car: at a desk, and at the tablet for a lead who stands at it."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from jobs.bad_input import BadInput
from jobs.bay.panels import Typed
from jobs.bay.tablet_decisions import section_of
from jobs.desk.release_page import ReleasePage
from jobs.models import Job
from jobs.posted import posted_entry
from jobs.reasons import Reason
from jobs.record import JobRecord
from jobs.recording import record_entry
from jobs.views.bay import job_in_bay, others, turn_required
from jobs.views.tablet_signing import signer_of
from shop.entries import Answer
from shop.fragments import render_page
from shop.models import Turn
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:job_release")
def job_release(request: PersonRequest, number: int) -> HttpResponse:
    """What must hold, what will stand on the papers, the release, the papers."""
    found = get_object_or_404(Job.objects.with_car(), number=number)
    page = ReleasePage.load(found, viewer=request.user, now=timezone.now())
    return render_page(request, "jobs/job_release.html", {"page": page}, parts=("release",))


@require_http_methods(["GET", "POST"])
@turn_required
def tablet_release(request: HttpRequest, turn: Turn, number: int) -> HttpResponse:
    """The same at the car; a lead signs with the PIN."""
    job = job_in_bay(turn, number)
    if request.method == "GET":
        return _at_tablet(request, turn, job)
    if request.POST.get("kind") != "release":
        raise Http404
    try:
        signer, how = signer_of(request, turn)
        sent = posted_entry(request, number=number, signer=signer, signed_how=how, tablet_id=turn.tablet_id)
        answer = record_entry(sent, now=timezone.now())
    except BadInput as bad:
        return _at_tablet(request, turn, job, typed=Typed("release", {}, bad.errors), status=422)
    if answer.accepted:
        return redirect("jobs:tablet")
    return _at_tablet(request, turn, job, answer=answer, status=422 if answer.outcome == "refused" else 409)


def _at_tablet(
    request: HttpRequest,
    turn: Turn,
    job: Job,
    *,
    typed: Typed | None = None,
    answer: Answer | None = None,
    status: int = 200,
) -> HttpResponse:
    page = ReleasePage.load(job, viewer=turn.person, now=timezone.now(), href=_at_the_car)
    context = {"page": page, "turn": turn, "typed": typed, "answer": answer, "people": others(turn)}
    return render(request, "jobs/tablet_release.html", context, status=status)


def _at_the_car(record: JobRecord, reason: Reason) -> str:
    """The operation at the tablet; nothing where it is put right at a desk."""
    row = next((n for n in record.nonconformances if reason.code == f"nonconformance:{n.number}"), None)
    code = row.job_operation.operation.code if row else reason.where.partition(".")[0]
    if record.find(code) is None:
        return ""
    section = section_of(str(row.number)) if row else reason.where
    anchor = f"?at={section}#{section}" if row or "." in section else ""
    return reverse("jobs:tablet_operation", args=[record.job.number, code]) + anchor

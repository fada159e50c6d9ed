"""Opening a job."""

import datetime as dt
import uuid

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.customers.doubles import known_by_serial
from jobs.desk.booking_forms import JobOpenForm, serial_as_typed
from jobs.models import Job
from jobs.opening import CannotOpenError, open_job
from jobs.recording import FloorEntry, record_entry
from shop.fragments import render_page
from shop.models import Person, SignedHow
from shop.permissions import allowed
from shop.requests import PersonRequest

PARTS = ("serial-check", "customer-choice")


@allowed("jobs:job_open")
def job_open(request: PersonRequest) -> HttpResponse:
    """One page: whose car, which car, by which procedure, with which kit, allowed how."""
    if request.method == "GET":
        asked = request.GET
        form = JobOpenForm(initial=asked.dict(), find_customer=asked.get("find_customer", ""))
        return _page(request, form)
    form = JobOpenForm(request.POST)
    if form.is_valid():
        now = timezone.now()
        try:
            job = open_job(form.booking(), by=request.user, now=now)
        except CannotOpenError as error:
            form.add_error(error.field if error.field in form.fields else None, error.message)
        else:
            if form.gives_authority:
                _record_authority(job, form, by=request.user, now=now)
            messages.success(request, _("Job %(number)d is open") % {"number": job.number})
            return redirect("jobs:job", job.number)
    return _page(request, form, status=422)


def _record_authority(job: Job, form: JobOpenForm, *, by: Person, now: dt.datetime) -> None:
    sent = FloorEntry(
        id=uuid.uuid4(),
        job_number=job.number,
        subject="authority",
        kind="authority",
        signer=by,
        signed_how=SignedHow.DESK,
        payload=form.authority(),
    )
    record_entry(sent, now=now)


def _page(request: PersonRequest, form: JobOpenForm, *, status: int = 200) -> HttpResponse:
    asked = request.POST if request.method == "POST" else request.GET
    check = form.serial_check or serial_as_typed(asked)
    here_before = known_by_serial(check.normalised) if check and not form.before.vehicle else None
    context = {"form": form, "check": check, "asked": asked, "here_before": here_before}
    return render_page(request, "jobs/job_open.html", context, parts=PARTS, status=status)

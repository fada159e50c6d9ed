"""The one door for what is recorded from a desk."""

from django.contrib import messages
from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.debug import sensitive_post_parameters

from jobs.bad_input import BadInput
from jobs.desk.attached import with_photo
from jobs.desk.forms import EntryForm
from jobs.desk.posting import Told, done_words, posted_form, told
from jobs.desk.signing import signed_entry
from jobs.models import Job
from jobs.record import JobRecord
from jobs.recording import UnknownPlaceError, record_entry
from shop.entries import Answer
from shop.models import Outcome
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("jobs:desk_entry")
@sensitive_post_parameters("pin", "second_pin")
def desk_entry(request: PersonRequest, number: int) -> HttpResponse:
    """Record one entry on a job. What could not be recorded comes back with what was typed."""
    job = get_object_or_404(Job.objects.with_car(), number=number)
    now = timezone.now()
    posted = request.POST.copy()
    form = posted_form(JobRecord.load(job), posted, now=now)
    if form is None:
        raise Http404
    try:
        sent = signed_entry(request, number=number, asks_pin=form.asks_pin, now=now)
        sent = with_photo(request, sent, now=now)
        # A picture that arrived stays with the form, whatever else is wrong with it.
        posted["p_photo"] = str(sent.payload.get("photo", ""))
        answer = record_entry(sent, now=now)
    except UnknownPlaceError as error:
        raise Http404 from error
    except BadInput as bad:
        form = posted_form(JobRecord.load(job), posted, now=now) or form
        form.tell(bad.errors)
        return _form_again(request, form, status=422)
    if answer.accepted:
        return _recorded(request, form, answer)
    if answer.outcome == Outcome.REFUSED:
        return _form_again(request, form, status=422, said=told(answer, form))
    # Whoever sends it again has now been told of what happened in between.
    current = posted_form(JobRecord.load(job), posted, now=now) or form
    return _form_again(request, current, status=409, said=told(answer, current))


def _recorded(request: PersonRequest, form: EntryForm, answer: Answer) -> HttpResponse:
    words, is_good = done_words(form, answer)
    (messages.success if is_good else messages.warning)(request, words)
    if request.htmx:
        return HttpResponse(status=204, headers={"HX-Trigger": form.refreshes})
    wanted = request.POST.get("next", "")
    safe = url_has_allowed_host_and_scheme(wanted, allowed_hosts={request.get_host()})
    return HttpResponseRedirect(wanted if safe else reverse("jobs:job", args=[form.number]))


def _form_again(
    request: PersonRequest, form: EntryForm, *, status: int, said: Told | None = None
) -> HttpResponse:
    """Only the form for htmx, which puts it where it was; else a page around it."""
    context = {"form": form, "record": form.record, "said": said, "next": request.POST.get("next", "")}
    template = "jobs/_entry_form.html" if request.htmx else "jobs/desk_entry.html"
    return render(request, template, context, status=status)

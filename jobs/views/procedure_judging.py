"""The page on which a lead decides how a limit is judged that nothing in the shop can prove."""

import datetime as dt

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters

from jobs.bad_input import BadInput
from jobs.desk.signing import confirm_second
from jobs.judging.judged_how import judging_words
from jobs.judging.limits import limit_words, parsed, reader_of
from jobs.models import Checkpoint
from jobs.procedures.file.rows import data_of
from jobs.procedures.judging import decide_judging
from jobs.procedures.judging_form import JudgingForm
from jobs.procedures.provability import survey
from shop.models import ShopSettings
from shop.permissions import allowed
from shop.requests import PersonRequest


@sensitive_post_parameters("second_pin")
@allowed("jobs:procedure_judging")
def procedure_judging(request: PersonRequest, code: str, revision: str, checkpoint: str) -> HttpResponse:
    """Shown to everybody who may look; decided once, by a lead."""
    rows = Checkpoint.objects.select_related(
        "operation__revision__procedure", "judging__person", "judging__second"
    )
    found = get_object_or_404(
        rows,
        operation__revision__procedure__code=code,
        operation__revision__revision=revision,
        code=checkpoint,
    )
    of, now = found.operation.revision, timezone.now()
    surveyed = survey(data_of(of), now=now, settings=ShopSettings.current())
    messages_of = [u.message for u in surveyed.unprovable if u.asked.checkpoint.code == checkpoint]
    limits = parsed(found.limit or found.equal, ShopSettings.current())
    form = JudgingForm(request.POST or None, second=found.is_safety, viewer=request.user)
    asked = request.method == "POST" and form.is_valid() and bool(messages_of)
    if asked and _decide(request, form, found, now):
        messages.success(request, _("It is decided how %(code)s is judged") % {"code": checkpoint})
        return redirect("jobs:procedure", code, revision)
    context = {
        "revision": of,
        "checkpoint": found,
        "limit": limit_words(limits, reader_of(request.user)) if limits else None,
        "unprovable": messages_of,
        "decided": judging_words(found),
        "form": form,
    }
    return render(
        request, "jobs/procedure_judging.html", context, status=422 if request.method == "POST" else 200
    )


def _decide(request: PersonRequest, form: JudgingForm, checkpoint: Checkpoint, now: dt.datetime) -> bool:
    """Whether it is decided now; what is wrong stands in the form."""
    given = form.cleaned_data
    try:
        decide_judging(
            revision=checkpoint.operation.revision,
            checkpoint=checkpoint,
            way=given["way"],
            instrument=given["instrument"],
            reason=given["reason"],
            by=request.user,
            second=confirm_second(request, now=now),
            now=now,
        )
    except BadInput as bad:
        for name, text in bad.errors.items():
            form.add_error(name if name in form.fields else None, text)
        return False
    return True

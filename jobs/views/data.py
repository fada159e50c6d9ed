"""Data in and out: what there is, each table as a file, a file checked and then taken in, a job as a file."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from jobs.desk.data_forms import CheckedForm, DataForm, packed
from jobs.exchange.files import written_csv, written_yaml
from jobs.exchange.job_file import job_file as written_job
from jobs.exchange.registry import TABLES
from jobs.exchange.tables import ExchangeTable, News, Taken, counted, take_in
from jobs.models import Job
from jobs.record import JobRecord
from jobs.unwitnessed import held_back
from parts.forms.bringing_in import shown_again
from shop.file_errors import FileErrors
from shop.models import Role
from shop.permissions import role_required
from shop.requests import PersonRequest

WRITTEN = {"csv": (written_csv, "text/csv; charset=utf-8"), "yaml": (written_yaml, "application/yaml")}


@require_GET
@role_required(Role.MANAGER)
def data(request: PersonRequest) -> HttpResponse:
    """What can go out and in, in the order in which one may name another."""
    return render(request, "jobs/data.html", {"tables": TABLES.values()})


@require_GET
@role_required(Role.MANAGER)
def data_file(request: PersonRequest, table: str, kind: str) -> HttpResponse:
    """A whole table as a file."""
    found = _table(table)
    if kind not in WRITTEN:
        raise Http404
    write, content_type = WRITTEN[kind]
    answer = HttpResponse(write(found.columns, found.rows()), content_type=content_type)
    answer["Content-Disposition"] = f'attachment; filename="{table}.{kind}"'
    return answer


@require_http_methods(["GET", "POST"])
@role_required(Role.MANAGER)
def data_in(request: PersonRequest, table: str) -> HttpResponse:
    """Check a file and show what it would do; then take exactly that in. Nothing is half saved."""
    found = _table(table)
    context = {"table": found, "form": DataForm()}
    if request.method == "GET":
        return render(request, "jobs/data_in.html", context)
    if "checked" in request.POST:
        return _take(request, found)
    form = DataForm(request.POST, request.FILES)
    if not form.is_valid():
        return render(request, "jobs/data_in.html", {**context, "form": form}, status=422)
    content = form.content()
    try:
        taken = take_in(found, content, by=request.user, now=timezone.now(), only_check=True)
    except FileErrors as refused:
        again = DataForm(shown_again(form, content))
        context |= {"form": again, "file_errors": refused.errors}
        return render(request, "jobs/data_in.html", context, status=422)
    context |= {
        "taken": taken,
        "news": _counts(taken),
        "checked": CheckedForm(initial=packed(content)),
        "brings_something": any(row.news is not News.SAME for row in taken),
    }
    return render(request, "jobs/data_in.html", context)


def _take(request: PersonRequest, table: ExchangeTable) -> HttpResponse:
    form = CheckedForm(request.POST)
    context = {"table": table, "form": DataForm()}
    if not form.is_valid():
        messages.error(request, str(form.errors["checked"][0]))
        return render(request, "jobs/data_in.html", context, status=422)
    content = form.cleaned_data["checked"]
    try:
        taken = take_in(table, content, by=request.user, now=timezone.now())
    except FileErrors as refused:
        # Something has changed since it was checked.
        again = DataForm({"text": content.decode("utf-8-sig", errors="replace")})
        context |= {"form": again, "file_errors": refused.errors}
        return render(request, "jobs/data_in.html", context, status=409)
    messages.success(request, _("Taken in: %(counts)s.") % {"counts": _counts(taken)})
    return redirect("jobs:data")


def _counts(taken: tuple[Taken, ...]) -> str:
    found = counted(taken)
    words = {
        News.NEW: _("%(count)d new"),
        News.CHANGED: _("%(count)d changed"),
        News.SAME: _("%(count)d as here already"),
    }
    return ", ".join(words[news] % {"count": found[news]} for news in News if found[news]) or _("no rows")


def _table(name: str) -> ExchangeTable:
    found = TABLES.get(name)
    if found is None:
        raise Http404
    return found


@require_GET
@role_required(Role.SERVICE_WRITER, Role.LEAD, Role.MANAGER)
def job_file(request: PersonRequest, number: int) -> HttpResponse:
    """A job as one file with its events; not while it would show a reading to whoever reads it again."""
    job = get_object_or_404(Job.objects.with_car(), number=number)
    if why := held_back(JobRecord.load(job)):
        messages.error(request, why)
        return redirect("jobs:job_papers", number)
    answer = HttpResponse(written_job(job), content_type="application/json")
    answer["Content-Disposition"] = f'attachment; filename="job-{number}.json"'
    return answer

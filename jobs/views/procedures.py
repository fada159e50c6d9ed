"""The pages of procedures."""

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.desk.revision_page import cars_against
from jobs.judging.limits import reader_of
from jobs.models import Procedure, ProcedureDraft, ProcedureRevision
from jobs.procedures.bringing_in import export_procedure
from jobs.procedures.bringing_page import Ask, bringing_page
from jobs.procedures.compare_page import compare_page
from jobs.procedures.file.rows import data_of
from jobs.procedures.forms import BringInForm
from jobs.procedures.list_page import procedure_list_page
from jobs.procedures.page import procedure_page
from jobs.procedures.provability import survey
from jobs.procedures.releasing import in_force_of, needs_other_eyes, release_procedure
from shop.actions import may
from shop.forms import OwnPinForm
from shop.models import Person, ShopSettings
from shop.permissions import allowed
from shop.requests import PersonRequest
from shop.revisions import RevisionState


def signed_in(request: HttpRequest) -> Person:
    """Whoever is signed in; the pages that ask let nobody else through."""
    assert isinstance(request.user, Person)
    return request.user


def _may_write(request: HttpRequest) -> bool:
    return may(signed_in(request).role, "jobs:procedure_bring_in", "POST")


def _revision(code: str, revision: str) -> ProcedureRevision:
    found = ProcedureRevision.objects.select_related("procedure")
    return get_object_or_404(found, procedure__code=code, revision=revision)


def _drafts(revision: ProcedureRevision) -> QuerySet[ProcedureDraft]:
    """What is being written of the same procedure."""
    return ProcedureDraft.objects.filter(procedure=revision.procedure, closed_at=None)


@allowed("jobs:procedure_list")
def procedure_list(request: HttpRequest) -> HttpResponse:
    """Every procedure of the shop."""
    page = procedure_list_page(words=request.GET.get("q", ""), sort=request.GET.get("sort", "code"))
    context = {"page": page, "order": page.sort, "may_write": _may_write(request)}
    return render(request, "jobs/procedure_list.html", context)


@allowed("jobs:procedure")
def procedure(request: PersonRequest, code: str, revision: str) -> HttpResponse:
    """One revision, to be read."""
    found = _revision(code, revision)
    context = {
        "revision": found,
        "others": found.procedure.revisions.filter(for_job=None).exclude(pk=found.pk),
        "drafts": _drafts(found) if _may_write(request) else (),
        "page": procedure_page(data_of(found), now=timezone.now(), reader=reader_of(request.user)),
        "is_draft": found.state == RevisionState.DRAFT,
        "may_write": _may_write(request),
    }
    return render(request, "jobs/procedure.html", context)


@allowed("jobs:procedure_bring_in")
def procedure_bring_in(request: HttpRequest) -> HttpResponse:
    """Bring a procedure in: first checked and shown, then saved as a draft."""
    form = BringInForm(request.POST or None, request.FILES or None)
    if request.method == "GET" or not form.is_valid():
        status = 422 if request.method == "POST" else 200
        return render(request, "jobs/procedure_bring_in.html", {"form": form}, status=status)
    ask = request.POST.get("ask", "")
    page = bringing_page(
        form,
        by=signed_in(request),
        now=timezone.now(),
        ask=Ask(ask) if ask in set(Ask) else Ask.CHECK,
        checked_digest=request.POST.get("checked", ""),
    )
    if page.ask is Ask.INTO_DRAFT and page.written is not None:
        messages.success(request, _("The file is in the draft now, as its newest version"))
        return redirect("jobs:procedure_draft", page.written.procedure.code, page.written.revision)
    if page.saved is None:
        context = {"form": page.form, "page": page, "errors": page.errors}
        return render(request, "jobs/procedure_bring_in.html", context, status=422 if page.errors else 200)
    messages.success(request, page.said)
    name = "jobs:procedure_release" if page.ask is Ask.RELEASE else "jobs:procedure"
    return redirect(name, page.saved.procedure.code, page.saved.revision)


@allowed("jobs:procedure_compare")
def procedure_compare(request: HttpRequest, code: str) -> HttpResponse:
    """What one revision changes against another; prints."""
    found = get_object_or_404(Procedure, code=code)
    page = compare_page(found, old=request.GET.get("old", ""), new=request.GET.get("new", ""))
    return render(request, "jobs/procedure_compare.html", {"page": page})


@allowed("jobs:procedure_export")
def procedure_export(request: HttpRequest, code: str, revision: str) -> HttpResponse:
    """The file of a revision."""
    found = _revision(code, revision)
    response = HttpResponse(export_procedure(found), content_type="application/yaml; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{code}_{revision}.yaml"'
    return response


@allowed("jobs:procedure_release")
def procedure_release(request: HttpRequest, code: str, revision: str) -> HttpResponse:
    """Ask, then release a draft for good."""
    found = _revision(code, revision)
    if found.state != RevisionState.DRAFT:
        messages.info(request, _("%(revision)s is released already") % {"revision": found})
        return redirect("jobs:procedure", code, revision)
    if _drafts(found).filter(revision=revision).exists():
        words = {"revision": found}
        messages.info(
            request, _("%(revision)s is being written; keep or throw away what was written") % words
        )
        return redirect("jobs:procedure_draft", code, revision)
    others = needs_other_eyes(found, by=signed_in(request))
    form = OwnPinForm(signed_in(request), request.POST if request.method == "POST" else None)
    if request.method == "POST" and not others and form.confirmed(request):
        release_procedure(revision=found, by=signed_in(request), now=timezone.now())
        messages.success(request, _("%(revision)s is released") % {"revision": found})
        return redirect("jobs:procedure", code, revision)
    in_force = in_force_of(found)
    cars = cars_against(found.procedure, found) if in_force else ()
    surveyed = survey(data_of(found), now=timezone.now(), settings=ShopSettings.current())
    shown = {"revision": found, "in_force": in_force, "survey": surveyed, "cars": cars}
    context = {**shown, "others": others, "form": form}
    status = 422 if request.method == "POST" else 200
    return render(request, "jobs/procedure_release.html", context, status=status)

"""Pages about papers: asking, watching it come, opening it."""

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import condition, require_GET, require_http_methods

from shop.documents import kinds
from shop.documents.access import desk_or_tablet
from shop.documents.asking import OtherWishError, ask
from shop.documents.forms import AskForm
from shop.documents.models import Document
from shop.documents.papers import Papers, issue_of
from shop.requests import HtmxRequest, PersonRequest


@require_http_methods(["GET", "POST"])
@login_required
def document_ask(request: PersonRequest) -> HttpResponse:
    """Ask for a paper; the same wish sent twice is one paper."""
    asked = request.GET if request.method == "GET" else request.POST
    if not kinds.is_for(asked.get("kind", ""), request.user.role):
        raise PermissionDenied(_("This paper is not for your role"))
    if request.method == "GET":
        kind, stream = request.GET.get("kind", ""), request.GET.get("stream", "")
        if kinds.subject_of(kind, stream) is None:
            raise Http404(_("There is no such paper."))
        return _papers_page(request, AskForm.blank(kind, stream))
    form = AskForm(request.POST, auto_id="ask-%s")
    if not form.is_valid():
        return _papers_page(request, form, status=422)
    wish = form.cleaned_data
    try:
        document = ask(
            wish["kind"],
            wish["stream"],
            by=request.user,
            now=timezone.now(),
            options={"paper": wish["paper"]},
            id=wish["id"],
        )
    except OtherWishError:
        form.add_error(None, _("This form was used for another paper already. Load the page again and ask."))
        return _papers_page(request, form, status=409)
    if request.htmx:
        return _papers_page(request, AskForm.blank(document.kind, document.stream))
    return redirect("documents:document_status", document.pk)


def _papers_page(request: HtmxRequest, form: AskForm, *, status: int = 200) -> HttpResponse:
    """All issues with the form: for htmx the part of the page that shows them, else a page of its own."""
    kind, stream = (str(form[name].value() or "") for name in ("kind", "stream"))
    papers = Papers.of(kind, stream, form=form)
    asks_for_part = request.htmx and request.htmx.target == papers.dom_id
    template = "documents/_papers.html" if asks_for_part else "documents/document_ask.html"
    return render(
        request,
        template,
        {"papers": papers, "form": form, "subject": kinds.subject_of(kind, stream)},
        status=status,
    )


@require_GET
@desk_or_tablet
def document_status(request: HtmxRequest, document_id: UUID) -> HttpResponse:
    """How far a paper is. Its own line asks for this again and again until it is ready or has failed."""
    document = get_object_or_404(Document, pk=document_id)
    context = {
        "issue": issue_of(document),
        "has_come": not document.is_under_way,
        "subject": kinds.subject_of(document.kind, document.stream),
    }
    asks_for_line = request.htmx and request.htmx.target == f"paper-{document.pk}"
    template = "documents/_document.html" if asks_for_line else "documents/document_status.html"
    return render(request, template, context)


def _etag(_request: HttpRequest, document_id: UUID) -> str | None:
    digest = Document.objects.filter(pk=document_id).values_list("sha256", flat=True).first()
    return f'"{digest}"' if digest else None


@require_GET
@desk_or_tablet
@condition(etag_func=_etag)
def document_file(request: HtmxRequest, document_id: UUID) -> HttpResponseBase:
    """The paper itself, shown in the browser."""
    document = get_object_or_404(Document, pk=document_id)
    if not document.is_ready or not default_storage.exists(str(document.file.name)):
        return redirect("documents:document_status", document.pk)
    response = FileResponse(
        document.file.open("rb"), filename=document.filename, content_type="application/pdf"
    )
    response["Cache-Control"] = "private, no-cache"
    return response

"""Writing a procedure in the browser."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.models import ProcedureDraft, ProcedureRevision
from jobs.procedures.draft_actions import act, put_part
from jobs.procedures.draft_page import KINDS, draft_page, file_error_rows, open_draft, part_page
from jobs.procedures.drafting import begin_draft, change_draft, keep_draft, state_of
from shop.drafting import CannotBeginError, OvertakenError, discard, take_back
from shop.excerpts import excerpts
from shop.file_errors import FileErrors
from shop.permissions import allowed
from shop.requests import PersonRequest
from shop.revisions import RevisionState

STALE = 409
WRONG = 422
LONGEST_CODE = 30


@allowed("jobs:procedure_draft_begin")
def procedure_draft_begin(request: PersonRequest, code: str, revision: str) -> HttpResponse:
    """Name the revision to come, and begin to write it from this one."""
    found = ProcedureRevision.objects.select_related("procedure").filter(for_job=None)
    source = get_object_or_404(found, procedure__code=code, revision=revision)
    is_draft = source.state == RevisionState.DRAFT
    name = str(request.POST.get("revision", source.revision if is_draft else ""))[:LONGEST_CODE]
    error = ""
    if request.method == "POST":
        try:
            draft = begin_draft(source, revision=name, by=request.user, now=timezone.now())
            return redirect("jobs:procedure_draft", code, draft.revision)
        except CannotBeginError as refused:
            error = str(refused)
    context = {"source": source, "name": name, "error": error, "is_draft": is_draft}
    context["errors"] = [("revision", error)] if error else []
    return render(request, "jobs/procedure_draft_begin.html", context, status=WRONG if error else 200)


@allowed("jobs:procedure_draft")
def procedure_draft(request: PersonRequest, code: str, revision: str) -> HttpResponse:
    """All of a draft: its operations, what is wrong with it, what was changed last."""
    draft = open_draft(code, revision)
    if request.method == "GET":
        return render(request, "jobs/procedure_draft.html", {"page": draft_page(draft), "kinds": KINDS})
    try:
        return _acted(request, draft)
    except OvertakenError as overtaken:
        said = _("%(who)s changed this draft meanwhile (%(what)s). Look at it, then do it again.")
        said %= {"who": overtaken.version.person, "what": overtaken.version.what}
        status = STALE
    except FileErrors as refused:
        said, status = _("It cannot be released yet: %(why)s") % {"why": str(refused.errors[0])}, WRONG
    context = {"page": draft_page(draft, said=said), "kinds": KINDS}
    return render(request, "jobs/procedure_draft.html", context, status=status)


def _acted(request: PersonRequest, draft: ProcedureDraft) -> HttpResponse:
    action, part = request.POST.get("action", ""), request.POST.get("part", "")[:LONGEST_CODE]
    code, by, now, seen = draft.procedure.code, request.user, timezone.now(), _seen(request)
    if action == "keep":
        kept = keep_draft(draft, seen=seen, by=by, now=now)
        messages.success(request, _("%(draft)s is kept as a draft revision") % {"draft": draft})
        return redirect("jobs:procedure_release", code, kept.revision)
    if action == "discard":
        discard(draft, by=by, now=now)
        messages.success(request, _("The draft %(draft)s is thrown away") % {"draft": draft})
        return redirect("jobs:procedure_list")
    if action == "undo":
        version = take_back(draft, seen=seen, by=by, now=now)
        messages.success(request, version.what)
        return redirect("jobs:procedure_draft", code, draft.revision)
    kind = request.POST.get("kind", "")
    shown = act(draft, action, part, kind=kind, seen=seen, by=by, now=now)
    if action.startswith("add_") and shown:
        return redirect("jobs:procedure_draft_part", code, draft.revision, shown)
    back = request.POST.get("back", "")[:LONGEST_CODE]
    if back and part_page(draft, back):
        return redirect("jobs:procedure_draft_part", code, draft.revision, back)
    return redirect("jobs:procedure_draft", code, draft.revision)


@allowed("jobs:procedure_draft_part")
def procedure_draft_part(request: PersonRequest, code: str, revision: str, part: str) -> HttpResponse:
    """One operation, one checkpoint or the head of a draft, field by field."""
    draft = open_draft(code, revision)
    posted = request.POST if request.method == "POST" else None
    page = part_page(draft, part, data=posted)
    if page is None:
        raise Http404
    status = 200
    if posted is not None:
        try:
            now_at, version = put_part(
                draft, part, page.form, seen=_seen(request), by=request.user, now=timezone.now()
            )
            messages.success(request, version.what)
            if now_at and part_page(draft, now_at):
                return redirect("jobs:procedure_draft_part", code, revision, now_at)
            return redirect("jobs:procedure_draft", code, revision)
        except OvertakenError as overtaken:
            page, status = part_page(draft, part, data=posted, overtaken=overtaken.version), STALE
    context = {"page": page, "errors": page.errors if page else [], "kinds": KINDS}
    return render(request, "jobs/procedure_draft_part.html", context, status=status)


@allowed("jobs:procedure_draft_text")
def procedure_draft_text(request: PersonRequest, code: str, revision: str) -> HttpResponse:
    """The whole draft as the text of its file, with what is wrong by line."""
    draft = open_draft(code, revision)
    state = state_of(draft)
    text, errors, status, overtaken = state.text, state.errors, 200, None
    if request.method == "POST":
        text = request.POST.get("text", "").replace("\r\n", "\n")
        try:
            what = _("the text changed")
            change_draft(draft, text, seen=_seen(request), what=what, by=request.user, now=timezone.now())
            messages.success(request, _("The text is kept"))
            return redirect("jobs:procedure_draft_text", code, revision)
        except OvertakenError as refused:
            overtaken, status = refused.version, STALE
        except FileErrors as refused_text:
            errors, status = tuple(refused_text.errors), WRONG
    context = {
        "draft": draft,
        "seen": state.version.number,
        "text": text,
        "overtaken": overtaken,
        "excerpts": excerpts(text, errors),
        "errors": file_error_rows(errors),
    }
    return render(request, "jobs/procedure_draft_text.html", context, status=status)


def _seen(request: PersonRequest) -> int:
    given = request.POST.get("seen", "")
    return int(given) if given.isdecimal() and len(given) < 9 else 0

"""Writing a procedure in the browser."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.models import ProcedureDraft, ProcedureRevision
from jobs.procedures.beginning import Route, begin_procedure
from jobs.procedures.draft_actions import Button, act, put_part
from jobs.procedures.draft_overtaken import overtaken_page
from jobs.procedures.draft_page import DraftPartPage, draft_page, file_error_rows, open_draft, part_page
from jobs.procedures.drafting import begin_draft, change_draft, keep_draft, state_of
from jobs.procedures.forms import ProcedureNewForm
from parts.models import KitDefinition
from shop.drafting import CannotBeginError, OvertakenError, discard, newest, take_back
from shop.excerpts import excerpts
from shop.file_errors import FileErrors
from shop.permissions import allowed
from shop.requests import PersonRequest
from shop.revisions import RevisionState

STALE = 409
WRONG = 422
LONGEST_CODE = 30
LONGEST_PATH = 120
BESIDE, WHOLE_PART = "draft-beside", "#draft-part"


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


@allowed("jobs:procedure_new")
def procedure_new(request: PersonRequest) -> HttpResponse:
    """Begin to write a procedure that is not here yet."""
    kits = KitDefinition.objects.order_by("code").values_list("code", flat=True)
    form = ProcedureNewForm(request.POST if request.method == "POST" else None, kits=tuple(kits))
    if form.is_valid():
        given = {**form.cleaned_data, "route": Route(form.cleaned_data["route"])}
        try:
            draft = begin_procedure(**given, by=request.user, now=timezone.now())
            return redirect("jobs:procedure_draft", draft.procedure.code, draft.revision)
        except FileErrors as refused:
            form.tell(refused)
    return render(request, "jobs/procedure_new.html", {"form": form}, status=WRONG if form.is_bound else 200)


@allowed("jobs:procedure_draft")
def procedure_draft(request: PersonRequest, code: str, revision: str) -> HttpResponse:
    """All of a draft: its operations, what is wrong with it, what was changed last."""
    draft = open_draft(code, revision)
    if request.method == "GET":
        return render(request, "jobs/procedure_draft.html", {"page": draft_page(draft)})
    try:
        return _acted(request, draft)
    except OvertakenError as overtaken:
        said = _("%(who)s changed this draft meanwhile (%(what)s). Look at it, then do it again.")
        said %= {"who": overtaken.version.person, "what": overtaken.version.what}
        status = STALE
    except FileErrors as refused:
        said, status = _("It cannot be released yet: %(why)s") % {"why": str(refused.errors[0])}, WRONG
    context = {"page": draft_page(draft, said=said)}
    return render(request, "jobs/procedure_draft.html", context, status=status)


def _acted(request: PersonRequest, draft: ProcedureDraft) -> HttpResponse:
    action = request.POST.get("action", "")
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
        back = request.POST.get("back", "")[:LONGEST_PATH]
        if back and part_page(draft, back):
            return redirect("jobs:procedure_draft_part", code, draft.revision, back)
        return redirect("jobs:procedure_draft", code, draft.revision)
    shown = act(draft, Button.of(action), seen=seen, by=by, now=now)
    if shown:
        return redirect("jobs:procedure_draft_part", code, draft.revision, shown)
    return redirect("jobs:procedure_draft", code, draft.revision)


@allowed("jobs:procedure_draft_part")
def procedure_draft_part(request: PersonRequest, code: str, revision: str, part: str) -> HttpResponse:
    """One part of a draft, field by field: an operation, a checkpoint, a mark, a weld, a hole, the head."""
    draft = open_draft(code, revision)
    posted = request.POST if request.method == "POST" else None
    page = part_page(draft, part, data=posted)
    if posted is None or (page and posted.get("action") == "show"):
        return _shown(request, page)
    if page and request.htmx.target == BESIDE:
        return _redrawn(request, page)
    try:
        return _put(request, page, draft, part)
    except OvertakenError as overtaken:
        by = overtaken.version
        page = overtaken_page(draft, part, data=request.POST, seen=_seen(request), by=by)
        return _shown(request, page, status=STALE)


def _shown(request: PersonRequest, page: DraftPartPage | None, *, status: int = 200) -> HttpResponse:
    if page is None:
        raise Http404
    context = {"page": page, "errors": page.errors}
    return render(request, "jobs/procedure_draft_part.html", context, status=status)


def _redrawn(request: PersonRequest, page: DraftPartPage) -> HttpResponse:
    """The drawing and the faults of what was typed; the whole part where another kind has other fields."""
    if page.form.lacks(request.POST):
        answer = _shown(request, page)
        answer["HX-Retarget"], answer["HX-Reselect"], answer["HX-Reswap"] = (
            WHOLE_PART,
            WHOLE_PART,
            "outerHTML",
        )
        return answer
    return render(request, "jobs/_draft_redrawn.html", {"page": page})


def _put(
    request: PersonRequest, page: DraftPartPage | None, draft: ProcedureDraft, part: str
) -> HttpResponse:
    """What was typed kept, with what a button did to a row."""
    now, button = timezone.now(), Button.of(request.POST.get("action", ""), request.POST.get("kind", ""))
    if page is None:
        raise OvertakenError(newest(draft))
    done = put_part(
        draft, page.place, page.form, button=button, seen=_seen(request), by=request.user, now=now
    )
    messages.success(request, done.what or _("Nothing was changed"))
    if done.path and part_page(draft, done.path):
        led = redirect("jobs:procedure_draft_part", draft.procedure.code, draft.revision, done.path)
        led["Location"] += f"#{done.row}" if done.row else ""
        return led
    return redirect("jobs:procedure_draft", draft.procedure.code, draft.revision)


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

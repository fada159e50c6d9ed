"""Writing a kit list in the browser."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from parts.kit_beginning import begin_kit
from parts.kit_drafting import (
    KitDraftState,
    begin_kit_draft,
    change_rows,
    change_text,
    keep_kit_draft,
    kit_draft_state,
)
from parts.kit_pages import FIRST_LINE, KitHeadForm, KitLineForm, kit_draft_page, open_kit_draft
from parts.models import KitDraft, KitRevision
from shop.drafting import CannotBeginError, OvertakenError, discard, take_back
from shop.excerpts import excerpts
from shop.file_errors import FileErrors
from shop.permissions import allowed
from shop.requests import PersonRequest
from shop.revisions import RevisionState

STALE, WRONG = 409, 422


@allowed("parts:kit_draft_begin")
def kit_draft_begin(request: PersonRequest, code: str, revision: str) -> HttpResponse:
    """Name the revision to come, and begin to write it from this one."""
    rows = KitRevision.objects.select_related("kit__supplier")
    source = get_object_or_404(rows, kit__code=code, revision=revision)
    is_draft = source.state == RevisionState.DRAFT
    name = str(request.POST.get("revision", source.revision if is_draft else ""))[:10]
    error = ""
    if request.method == "POST":
        try:
            draft = begin_kit_draft(source, revision=name, by=request.user, now=timezone.now())
            return redirect("parts:kit_draft", code, draft.revision)
        except CannotBeginError as refused:
            error = str(refused)
    context = {"source": source, "name": name, "error": error, "is_draft": is_draft}
    context["errors"] = [("revision", error)] if error else []
    return render(request, "parts/kit_draft_begin.html", context, status=WRONG if error else 200)


@allowed("parts:kit_new")
def kit_new(request: PersonRequest) -> HttpResponse:
    """Begin to write the list of a kit that is not here yet."""
    posted, faults = request.POST if request.method == "POST" else None, dict[str, list[str]]()
    form, line = KitHeadForm(posted), KitLineForm(FIRST_LINE, faults=faults, data=posted)
    if form.is_valid():
        try:
            draft = begin_kit({**line.written(), **form.cleaned_data}, by=request.user, now=timezone.now())
            return redirect("parts:kit_draft", draft.kit.code, draft.revision)
        except FileErrors as refused:
            faults |= form.tell(refused)
    errors = [(field.id_for_label, f"{field.label}: {m}") for field, found in line.rows() for m in found]
    context = {"form": form, "line": line, "errors": errors}
    return render(request, "parts/kit_new.html", context, status=WRONG if form.is_bound else 200)


@allowed("parts:kit_draft")
def kit_draft(request: PersonRequest, code: str, revision: str) -> HttpResponse:
    """All of a draft: its lines, what is wrong with it, what was changed last."""
    draft = open_kit_draft(code, revision)
    if request.method == "GET":
        return render(request, "parts/kit_draft.html", {"page": kit_draft_page(draft)})
    try:
        return _acted(request, draft)
    except OvertakenError as overtaken:
        said = _("%(who)s changed this draft meanwhile (%(what)s). Look at it, then do it again.")
        said %= {"who": overtaken.version.person, "what": overtaken.version.what}
        status = STALE
    except FileErrors as refused:
        said, status = _("It cannot be released yet: %(why)s") % {"why": str(refused.errors[0])}, WRONG
    context = {"page": kit_draft_page(draft, said=said)}
    return render(request, "parts/kit_draft.html", context, status=status)


def _acted(request: PersonRequest, draft: KitDraft) -> HttpResponse:
    action, by, now, seen = request.POST.get("action", ""), request.user, timezone.now(), _number(request)
    code, at = draft.kit.code, _number(request, "part") - 1
    if action == "keep":
        kept = keep_kit_draft(draft, seen=seen, by=by, now=now)
        messages.success(request, _("%(draft)s is kept as a draft revision") % {"draft": draft})
        return redirect("parts:kit_release", code, kept.revision)
    if action == "discard":
        discard(draft, by=by, now=now)
        messages.success(request, _("The draft %(draft)s is thrown away") % {"draft": draft})
        return redirect("parts:kit_list")
    if action == "undo":
        messages.success(request, take_back(draft, seen=seen, by=by, now=now).what)
        return redirect("parts:kit_draft", code, draft.revision)
    rows = kit_draft_state(draft).cells
    if action == "add":
        rows.append(FIRST_LINE.copy())
        change_rows(draft, rows, seen=seen, what=_("a line added"), by=by, now=now)
        return redirect("parts:kit_draft_line", code, draft.revision, len(rows))
    if 0 <= at < len(rows):
        part = rows[at]["part_number"] or _("line %(n)d") % {"n": at + 1}
        to = {"up": at - 1, "down": at + 1}.get(action, -1)
        what = ""
        if action == "remove":
            rows.pop(at)
            what = _("%(code)s removed") % {"code": part}
        elif 0 <= to < len(rows):
            rows.insert(to, rows.pop(at))
            what = (_("%(code)s moved up") if to < at else _("%(code)s moved down")) % {"code": part}
        if what:
            change_rows(draft, rows, seen=seen, what=what, by=by, now=now)
    return redirect("parts:kit_draft", code, draft.revision)


@allowed("parts:kit_draft_line")
def kit_draft_line(request: PersonRequest, code: str, revision: str, line: int) -> HttpResponse:
    """One line of a draft, field by field. A line is known again by the part number that was shown."""
    draft = open_kit_draft(code, revision)
    state, status, overtaken = kit_draft_state(draft), 200, None
    at = _place(request, state, line - 1)
    if at is None:
        raise Http404
    posted = request.POST if request.method == "POST" else None
    form = KitLineForm(state.cells[at], faults=state.faults(at), data=posted)
    was = state.cells[at]["part_number"]
    if posted is not None:
        rows = state.cells
        rows[at] = form.written()
        what = _("%(code)s changed") % {"code": rows[at]["part_number"] or was or at + 1}
        try:
            version = change_rows(
                draft, rows, seen=_number(request), what=what, by=request.user, now=timezone.now()
            )
            messages.success(request, version.what)
            return redirect("parts:kit_draft_line", code, revision, at + 1)
        except OvertakenError as refused:
            overtaken, status = refused.version, STALE
    shown = {"draft": draft, "form": form, "line": at + 1, "was": was, "seen": state.version.number}
    errors = [(field.id_for_label, f"{field.label}: {m}") for field, found in form.rows() for m in found]
    context = {**shown, "overtaken": overtaken, "errors": errors}
    return render(request, "parts/kit_draft_line.html", context, status=status)


def _place(request: PersonRequest, state: KitDraftState, at: int) -> int | None:
    """Where the line stands now; None where somebody has taken it out."""
    numbers = [row["part_number"] for row in state.cells]
    was = request.POST.get("was", "")
    if was and numbers.count(was) == 1:
        return numbers.index(was)
    return at if 0 <= at < len(numbers) and (not was or numbers[at] == was) else None


@allowed("parts:kit_draft_text")
def kit_draft_text(request: PersonRequest, code: str, revision: str) -> HttpResponse:
    """The whole draft as the text of its file, with what is wrong by line."""
    draft = open_kit_draft(code, revision)
    state = kit_draft_state(draft)
    text, errors, status, overtaken = state.text, state.errors, 200, None
    if request.method == "POST":
        text = request.POST.get("text", "").replace("\r\n", "\n")
        try:
            content = text.encode(errors="replace")
            change_text(draft, content, seen=_number(request), by=request.user, now=timezone.now())
            messages.success(request, _("The text is kept"))
            return redirect("parts:kit_draft_text", code, revision)
        except OvertakenError as refused:
            overtaken, status = refused.version, STALE
        except FileErrors as refused_text:
            errors, status = refused_text.errors, WRONG
    context = {
        "draft": draft,
        "seen": state.version.number,
        "text": text,
        "overtaken": overtaken,
        "excerpts": excerpts(text, errors),
        "errors": [(f"line-{e.line}" if e.line else "", str(e)) for e in errors],
    }
    return render(request, "parts/kit_draft_text.html", context, status=status)


def _number(request: PersonRequest, name: str = "seen") -> int:
    given = request.POST.get(name, "")
    return int(given) if given.isdecimal() and len(given) < 9 else 0

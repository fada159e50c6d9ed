"""Kits: what they are made of, revision by revision."""

from django.contrib import messages
from django.db.models import Count, Prefetch
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from parts.csv_answers import csv_answer
from parts.forms.bringing_in import BringInKitForm, shown_again
from parts.kit_files import KitNews, bring_in, kit_file
from parts.kit_pages import kit_floor
from parts.kit_releasing import in_force_of, needs_other_eyes, release_kit
from parts.kit_sheet import EVERY_COLUMN
from parts.models import KitDefinition, KitRevision
from parts.views.who import MAY_WRITE
from shop.actions import may
from shop.file_errors import FileErrors
from shop.forms import OwnPinForm
from shop.models import ShopSettings
from shop.permissions import allowed
from shop.requests import PersonRequest
from shop.revisions import RevisionState

NEWS = {
    KitNews.NEW: gettext_lazy("%(kit)s was brought in: %(lines)d lines."),
    KitNews.CHANGED: gettext_lazy("The draft %(kit)s was replaced: %(lines)d lines."),
    KitNews.RELEASED: gettext_lazy("%(kit)s was released."),
    KitNews.NOTHING: gettext_lazy(
        "%(kit)s is here already with exactly these %(lines)d lines; nothing was changed."
    ),
}


@allowed("parts:kit_list")
def kit_list(request: PersonRequest) -> HttpResponse:
    revisions = KitRevision.objects.annotate(lines_count=Count("lines")).order_by("-revision")
    kits = KitDefinition.objects.select_related("supplier").prefetch_related(
        Prefetch("revisions", queryset=revisions)
    )
    role = request.user.role
    context = {"kits": kits, "may_write": role in MAY_WRITE, "may_draft": may(role, "parts:kit_new")}
    return render(request, "parts/kit_list.html", context)


@allowed("parts:kit")
def kit(request: PersonRequest, code: str, revision: str) -> HttpResponse:
    found = _revision(code, revision)
    lines = list(found.lines.all())
    context = {
        "revision": found,
        "lines": lines,
        "has_costs": any(line.unit_cost is not None for line in lines),
        "currency": ShopSettings.current().currency,
        "orders": found.orders.order_by("number"),
        "may_write": may(request.user.role, "parts:kit_release", "POST"),
        "drafts": found.kit.drafts.filter(closed_at=None),
        "others": found.kit.revisions.exclude(pk=found.pk),
    }
    return render(request, "parts/kit.html", context)


@allowed("parts:kit_export")
def kit_export(request: PersonRequest, code: str, revision: str) -> HttpResponse:
    return csv_answer(kit_file(_revision(code, revision)), f"{code} {revision}.csv")


@allowed("parts:kit_release")
def kit_release(request: PersonRequest, code: str, revision: str) -> HttpResponse:
    found = _revision(code, revision)
    if found.state != RevisionState.DRAFT:
        messages.info(request, _("%(kit)s is released already.") % {"kit": found})
        return redirect("parts:kit", code, revision)
    if found.kit.drafts.filter(revision=revision, closed_at=None).exists():
        words = _("%(kit)s is being written; keep or throw away what was written.") % {"kit": found}
        messages.info(request, words)
        return redirect("parts:kit_draft", code, revision)
    others = needs_other_eyes(found, by=request.user)
    form = OwnPinForm(request.user, request.POST if request.method == "POST" else None)
    if request.method == "POST" and not others and form.confirmed(request):
        release_kit(revision=found, by=request.user, now=timezone.now())
        messages.success(request, _("%(kit)s is released.") % {"kit": found})
        return redirect("parts:kit", code, revision)
    in_force = in_force_of(found)
    orders = kit_floor(found.kit, now=timezone.now(), to=found) if in_force else ()
    context = {"revision": found, "form": form, "others": others, "in_force": in_force, "orders": orders}
    return render(request, "parts/kit_release.html", context, status=422 if request.method == "POST" else 200)


@allowed("parts:kit_bring_in")
def kit_bring_in(request: PersonRequest) -> HttpResponse:
    form = BringInKitForm(request.POST, request.FILES) if request.method == "POST" else BringInKitForm()
    context = {"form": form, "columns": EVERY_COLUMN}
    if request.method != "POST":
        return render(request, "parts/kit_bring_in.html", context)
    if not form.is_valid():
        return render(request, "parts/kit_bring_in.html", context, status=422)
    content = form.content()
    try:
        found = bring_in(content, by=request.user, now=timezone.now(), release=False)
    except FileErrors as refusal:
        again = BringInKitForm(initial=shown_again(form, content))
        context |= {"form": again, "file_errors": refusal.errors}
        return render(request, "parts/kit_bring_in.html", context, status=422)
    counts = {"kit": found.revision, "lines": found.revision.lines.count()}
    level = messages.INFO if found.news is KitNews.NOTHING else messages.SUCCESS
    messages.add_message(request, level, NEWS[found.news] % counts)
    goes_on = form.cleaned_data["release"] and found.revision.state == RevisionState.DRAFT
    name = "parts:kit_release" if goes_on else "parts:kit"
    return redirect(name, found.revision.kit.code, found.revision.revision)


def _revision(code: str, revision: str) -> KitRevision:
    rows = KitRevision.objects.select_related("kit__supplier")
    return get_object_or_404(rows, kit__code=code, revision=revision)

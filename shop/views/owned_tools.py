"""The tools that the shop owns: drills, saws, machines with their speeds, extensions of torque wrenches."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.keeping import keep
from shop.models import Tool
from shop.permissions import allowed
from shop.requests import PersonRequest
from shop.tool_forms import ToolChangeForm, ToolForm


@allowed("shop:tool_list")
def tool_list(request: PersonRequest) -> HttpResponse:
    rows = Tool.objects.order_by("is_withdrawn", "kind", "code")
    return render(request, "shop/tool_list.html", {"rows": rows})


@allowed("shop:tool_add")
def tool_add(request: PersonRequest) -> HttpResponse:
    form = ToolForm(request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        row = form.save(commit=False)
        keep(row, changed=form.changed_data, added=True, by=request.user, now=timezone.now())
        messages.success(request, _("%(code)s is entered") % {"code": row.code})
        return redirect("shop:tool_list")
    return render(request, "shop/tool.html", {"form": form}, status=422 if form.is_bound else 200)


@allowed("shop:tool")
def tool(request: PersonRequest, code: str) -> HttpResponse:
    """One tool; withdrawn, no hole is planned with it."""
    found = get_object_or_404(Tool, code=code)
    form = ToolChangeForm(request.POST if request.method == "POST" else None, instance=found)
    if form.is_bound and form.is_valid():
        row = form.save(commit=False)
        keep(row, changed=form.changed_data, added=False, by=request.user, now=timezone.now())
        messages.success(request, _("%(code)s is changed") % {"code": code})
        return redirect("shop:tool_list")
    context = {"form": form, "tool": Tool.objects.get(pk=found.pk)}
    return render(request, "shop/tool.html", context, status=422 if form.is_bound else 200)

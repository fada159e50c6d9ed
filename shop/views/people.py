"""The people of the shop: who they are, what they hold, when they are away, how they sign."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from shop.keeping import keep, take_away
from shop.models import Absence, Certificate, Person
from shop.own_secrets import HOLDS_FOR, What, start
from shop.people import PersonRefused, activate, add_person, change_person, deactivate
from shop.people_forms import AbsenceForm, CertificateForm, PersonAddForm, PersonForm
from shop.people_page import PersonList, PersonRow
from shop.permissions import allowed
from shop.requests import PersonRequest


@allowed("shop:person_list")
def person_list(request: PersonRequest) -> HttpResponse:
    page = PersonList.load(today=timezone.localdate())
    return render(request, "shop/person_list.html", {"page": page})


@allowed("shop:person_add")
def person_add(request: PersonRequest) -> HttpResponse:
    form = PersonAddForm(request.POST if request.method == "POST" else None)
    if form.is_bound and form.is_valid():
        added = add_person(form.save(commit=False), by=request.user, now=timezone.now())
        messages.success(request, _("%(name)s is one of us. Next: password and PIN") % {"name": added})
        return redirect("shop:person", added.pk)
    return render(request, "shop/person_add.html", {"form": form}, status=422 if form.is_bound else 200)


@allowed("shop:person")
def person(request: PersonRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Person, pk=pk)
    if request.method == "GET":
        return _page(request, found)
    form = PersonForm(request.POST, instance=found)
    if form.is_valid():
        given = form.cleaned_data
        try:
            change_person(
                Person.objects.get(pk=pk),
                full_name=given["full_name"],
                role=given["role"],
                by=request.user,
                now=timezone.now(),
            )
        except PersonRefused as refusal:
            form.add_error(refusal.field, refusal.message)
        else:
            messages.success(request, _("%(name)s is changed") % {"name": given["full_name"]})
            return redirect("shop:person", pk)
    return _page(request, Person.objects.get(pk=pk), form=form, status=422)


def _page(request: PersonRequest, found: Person, *, status: int = 200, **forms: Any) -> HttpResponse:
    context = {
        "row": PersonRow(found, timezone.localdate()),
        "person": found,
        "form": PersonForm(instance=found),
        "certificate_form": CertificateForm(auto_id="certificate-%s"),
        "absence_form": AbsenceForm(auto_id="absence-%s"),
        **forms,
    }
    return render(request, "shop/person.html", context, status=status)


@allowed("shop:certificate_add")
def certificate_add(request: PersonRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Person, pk=pk)
    form = CertificateForm(request.POST, instance=Certificate(person=found), auto_id="certificate-%s")
    if not form.is_valid():
        return _page(request, found, certificate_form=form, status=422)
    keep(form.save(commit=False), changed=form.changed_data, added=True, by=request.user, now=timezone.now())
    messages.success(request, _("The certificate is entered"))
    return redirect(f"{reverse('shop:person', args=[pk])}#certificates")


@allowed("shop:certificate")
def certificate(request: PersonRequest, pk: int, number: int) -> HttpResponse:
    """Correct a certificate, or renew it; what was signed under it keeps the days that the record has."""
    row = get_object_or_404(Certificate.objects.select_related("person"), pk=number, person=pk)
    form = CertificateForm(request.POST if request.method == "POST" else None, instance=row)
    if form.is_bound and form.is_valid():
        changed = form.changed_data
        keep(form.save(commit=False), changed=changed, added=False, by=request.user, now=timezone.now())
        messages.success(request, _("The certificate is changed"))
        return redirect(f"{reverse('shop:person', args=[pk])}#certificates")
    context = {"form": form, "person": row.person}
    return render(request, "shop/certificate.html", context, status=422 if form.is_bound else 200)


@allowed("shop:absence_add")
def absence_add(request: PersonRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Person, pk=pk)
    form = AbsenceForm(request.POST, instance=Absence(person=found), auto_id="absence-%s")
    if not form.is_valid():
        return _page(request, found, absence_form=form, status=422)
    keep(form.save(commit=False), changed=form.changed_data, added=True, by=request.user, now=timezone.now())
    messages.success(request, _("%(name)s is away then") % {"name": found})
    return redirect(f"{reverse('shop:person', args=[pk])}#absences")


@allowed("shop:absence_remove")
def absence_remove(request: PersonRequest, pk: int, number: int) -> HttpResponse:
    row = get_object_or_404(Absence.objects.select_related("person"), pk=number, person=pk)
    take_away(row, by=request.user, now=timezone.now())
    messages.success(request, _("%(name)s is there after all") % {"name": row.person})
    return redirect(f"{reverse('shop:person', args=[pk])}#absences")


@allowed("shop:person_leave")
def person_leave(request: PersonRequest, pk: int) -> HttpResponse:
    """Ask, then sign somebody off; sent again for somebody who left, take them back."""
    found = get_object_or_404(Person, pk=pk)
    if request.method == "GET":
        return render(request, "shop/person_leave.html", {"person": found})
    try:
        (deactivate if found.is_active else activate)(found, by=request.user, now=timezone.now())
    except PersonRefused as refusal:
        context = {"person": found, "errors": [("", refusal.message)]}
        return render(request, "shop/person_leave.html", context, status=422)
    said = _("%(name)s is back") if found.is_active else _("%(name)s does not work here any more")
    messages.success(request, said % {"name": found})
    return redirect("shop:person", pk)


@allowed("shop:person_secret")
@never_cache
def person_secret(request: PersonRequest, pk: int) -> HttpResponse:
    """Start the page on which somebody sets their own password or PIN."""
    found, now = get_object_or_404(Person, pk=pk, is_active=True), timezone.now()
    what = What.PIN if request.POST.get("what") == What.PIN else What.PASSWORD
    token = start(found, what, by=request.user, now=now)
    address = request.build_absolute_uri(reverse("shop:own_secret", args=[token]))
    context = {
        "person": found,
        "is_pin": what is What.PIN,
        "until": now + HOLDS_FOR[what],
        "address": address,
    }
    return render(request, "shop/person_secret.html", context)

"""A person's own page: how they read figures, and the hours and days away that the plan counts with."""

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.engineering.limits import parse_limits
from shop.engineering.limits.shown import ReadAs, limits_read_as
from shop.engineering.quantities.writer import System
from shop.keeping import keep
from shop.models import Fractions, Person, ShopSettings, Units
from shop.permissions import allowed
from shop.requests import PersonRequest
from shop.settings_forms import DAY_NAMES, write_windows

EXAMPLE = "31 1/4 ±1/16 in"


class FiguresForm(forms.ModelForm[Person]):
    units = forms.ChoiceField(
        label=gettext_lazy("Figures in"),
        required=False,
        choices=[("", gettext_lazy("as the instruction writes them")), *Units.choices],
        widget=forms.RadioSelect,
    )
    fractions = forms.ChoiceField(
        label=gettext_lazy("Inches as"),
        required=False,
        choices=[("", gettext_lazy("as the instruction writes them")), *Fractions.choices],
        widget=forms.RadioSelect,
    )

    class Meta:
        model = Person
        fields = ("units", "fractions")


@allowed("shop:own_page")
def own_page(request: PersonRequest) -> HttpResponse:
    """Each for themselves; at a tablet it holds for whoever has the turn."""
    person = Person.objects.get(pk=request.user.pk)
    form = FiguresForm(request.POST if request.method == "POST" else None, instance=person)
    if form.is_bound and form.is_valid():
        keep(
            form.save(commit=False),
            changed=form.changed_data,
            added=False,
            by=request.user,
            now=timezone.now(),
        )
        messages.success(request, _("Figures are shown to you like this from now on, at the tablet too"))
        return redirect("shop:own_page")
    kept, settings = Person.objects.get(pk=person.pk), ShopSettings.current()
    today = settings.day_at(timezone.now())
    hours = kept.hours or settings.hours
    context = {
        "form": form,
        "written": EXAMPLE,
        "shown": _example(kept),
        "hours": [(name, write_windows(hours[day])) for day, name in DAY_NAMES.items() if hours.get(day)],
        "has_own_hours": bool(kept.hours),
        "absences": kept.absences.filter(last_day__gte=today).order_by("first_day"),
    }
    return render(request, "shop/own_page.html", context, status=422 if form.is_bound else 200)


def _example(person: Person) -> str:
    systems: dict[str, System] = {Units.INCH: "inch", Units.METRIC: "metric"}
    reader = ReadAs(systems.get(person.units), person.fractions == Fractions.DECIMAL)
    return limits_read_as(parse_limits(EXAMPLE), reader)

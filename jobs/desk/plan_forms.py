"""What the manager types about the plan: pins."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.models import Job, JobOperation, PinKind
from jobs.plans.pinning import DONE
from shop.actions import TURN_ROLES
from shop.models import Bay, Person
from shop.people_forms import DayField


class PinForm(forms.Form):
    """A pin on one car."""

    kind = forms.ChoiceField(
        label=gettext_lazy("Pin"), choices=PinKind.choices, widget=forms.RadioSelect, initial=PinKind.BAY
    )
    bay = forms.ModelChoiceField(
        Bay.objects.filter(is_open=True),
        label=gettext_lazy("Bay"),
        required=False,
        to_field_name="number",
        empty_label=gettext_lazy("choose"),
    )
    operation = forms.ChoiceField(label=gettext_lazy("Operation"), required=False)
    person = forms.ModelChoiceField(
        Person.objects.filter(is_active=True, role__in=TURN_ROLES),
        label=gettext_lazy("Who"),
        required=False,
        to_field_name="username",
        empty_label=gettext_lazy("choose"),
    )
    not_before = DayField(label=gettext_lazy("Not before"), required=False)

    def __init__(self, job: Job, data: Mapping[str, Any] | None = None) -> None:
        super().__init__(data, auto_id="pin-%s")
        self.job = job
        open_ones = job.operations.exclude(state__in=DONE).select_related("operation")
        self.operations: dict[str, JobOperation] = {row.operation.code: row for row in open_ones}
        self.fields["operation"] = forms.ChoiceField(
            label=_("Operation"),
            required=False,
            choices=[
                ("", _("the whole car")),
                *((code, f"{code} {row.operation.title}") for code, row in self.operations.items()),
            ],
        )

    @property
    def chosen(self) -> dict[str, Any]:
        """What `put_pin` takes: only what a pin of that kind is about."""
        given = self.cleaned_data
        operation = self.operations.get(given["operation"])
        return {
            PinKind.BAY: {"bay": given["bay"]},
            PinKind.PERSON: {"operation": operation, "person": given["person"]},
            PinKind.NOT_BEFORE: {"operation": operation, "not_before": given["not_before"]},
            PinKind.NEXT_UP: {},
        }[PinKind(given["kind"])]

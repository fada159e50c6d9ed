"""Opening an order; saying when a missing part is to come."""

from typing import Any

from django import forms
from django.core.validators import RegexValidator
from django.utils.translation import gettext_lazy as _

from parts.forms.entry import EntryFields
from parts.models import KitRevision
from parts.sheet_cells import CODE
from shop.revisions import RevisionState


class DayInput(forms.DateInput):
    """A day, by keyboard or picked."""

    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


class RevisionField(forms.ModelChoiceField[KitRevision]):
    def label_from_instance(self, obj: KitRevision) -> str:
        return f"{obj.kit.code} {obj.revision} – {obj.kit.name}"


class OrderForm(forms.Form):
    number = forms.CharField(
        label=_("Kit order"),
        max_length=20,
        validators=[
            RegexValidator(
                rf"^{CODE.pattern}\Z", _("Only letters, digits, points and dashes, such as K-0007.")
            )
        ],
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    kit_revision = RevisionField(
        label=_("Kit and revision"), queryset=KitRevision.objects.none(), empty_label=_("Choose")
    )
    ordered_on = forms.DateField(label=_("Ordered on"), widget=DayInput)
    expected_on = forms.DateField(label=_("Expected on"), widget=DayInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["kit_revision"]
        assert isinstance(field, forms.ModelChoiceField)
        released = KitRevision.objects.filter(state=RevisionState.RELEASED)
        field.queryset = released.select_related("kit").order_by("kit__code", "revision")


class ExpectForm(EntryFields):
    eta = forms.DateField(label=_("Expected on"), widget=DayInput)
    note = forms.CharField(
        label=_("Told by"),
        max_length=200,
        required=False,
        help_text=_("Who said so, and how: a claim number, a call."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

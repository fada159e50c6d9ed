"""What the manager types about people: who they are, what they are certified for, when they are away."""

import datetime as dt
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.models import Absence, Certificate, Person


class DayField(forms.DateField):
    """A day, chosen or typed as 2026-11-25."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), **kwargs)
        self.error_messages["invalid"] = str(_("Write the day as year-month-day, such as 2026-11-25"))


class PersonForm(forms.ModelForm[Person]):
    class Meta:
        model = Person
        fields = ("full_name", "role")


class PersonAddForm(forms.ModelForm[Person]):
    class Meta:
        model = Person
        fields = ("full_name", "username", "role")
        labels = {"username": _("Sign-in name")}
        help_texts = {"username": _("Short, for the desk; letters, digits and . _ -. It stays.")}

    def clean_username(self) -> str:
        name = str(self.cleaned_data["username"])
        if Person.objects.filter(username__iexact=name).exists():
            raise forms.ValidationError(_("Somebody has this sign-in name already"))
        return name


def require_order(form: forms.BaseForm, given: dict[str, Any], first: str, last: str, words: Any) -> None:
    begins, ends = given.get(first), given.get(last)
    if isinstance(begins, dt.date) and isinstance(ends, dt.date) and ends < begins:
        form.add_error(last, words)


class CertificateForm(forms.ModelForm[Certificate]):
    valid_from = DayField(label=_("Valid from"))
    valid_until = DayField(label=_("Valid until"))

    class Meta:
        model = Certificate
        fields = ("skill", "number", "valid_from", "valid_until")

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        require_order(self, given, "valid_from", "valid_until", _("It cannot end before it begins"))
        return given


class AbsenceForm(forms.ModelForm[Absence]):
    first_day = DayField(label=_("First day away"))
    last_day = DayField(label=_("Last day away"))

    class Meta:
        model = Absence
        fields = ("first_day", "last_day", "note")
        help_texts = {"note": _("Everybody who sees the week reads it; write nothing private.")}

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        require_order(self, given, "first_day", "last_day", _("The last day is before the first"))
        return given

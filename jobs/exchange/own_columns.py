"""What is a person's own, as cells: in which units they read, and their own hours.

Hours are written by the day: `mon 07:30 - 12:00, 12:30 - 16:00 | tue 08:00 - 12:00`; none where they are
the shop's.
"""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from shop.models import Person
from shop.settings_forms import read_windows, write_windows
from shop.working_time import DAYS

MOST = 600


def own_words(person: Person) -> Mapping[str, str]:
    days = [f"{day} {write_windows(person.hours[day])}" for day in DAYS if person.hours.get(day)]
    return {"units": person.units, "fractions": person.fractions, "hours": " | ".join(days)}


class OwnForm(forms.ModelForm[Person]):
    hours = forms.CharField(required=False, max_length=MOST)

    class Meta:
        model = Person
        fields = ("units", "fractions")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.initial["hours"] = own_words(self.instance)["hours"]

    def clean_hours(self) -> str:
        """The hours as they are kept, laid on the person; what was written comes back."""
        text = str(self.cleaned_data["hours"])
        hours: dict[str, list[list[str]]] = {}
        for part in (part.strip() for part in text.split("|") if part.strip()):
            day, _blank, windows = part.partition(" ")
            if day not in DAYS or day in hours:
                message = _("Write each day once, as %(days)s, with its hours after it")
                raise forms.ValidationError(message % {"days": ", ".join(DAYS)})
            try:
                hours[day] = read_windows(windows)
            except ValueError as error:
                raise forms.ValidationError(str(error)) from error
        self.instance.hours = {day: hours[day] for day in DAYS if hours.get(day)}
        return text

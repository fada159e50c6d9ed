"""Correcting a customer or a car. Two people at the same form: the later one is told what changed."""

from collections.abc import Mapping
from typing import Any

from django import forms
from django.db import models
from django.utils.translation import gettext_lazy as _

from shop.canonical import canonical_bytes, sha256_of
from shop.engineering.vin import LONGEST_SERIAL, check_serial
from shop.models import Customer, Vehicle

FIRST_YEAR, LAST_YEAR = 1900, 2100


class ModelYearField(forms.IntegerField):
    def __init__(self) -> None:
        super().__init__(
            label=_("Model year"),
            min_value=FIRST_YEAR,
            max_value=LAST_YEAR,
            error_messages={
                "required": _("Enter the model year"),
                "invalid": _("Enter the model year as four digits"),
            },
            widget=forms.TextInput(attrs={"inputmode": "numeric", "maxlength": 4, "class": "short"}),
        )


class SerialField(forms.CharField):
    def __init__(self) -> None:
        super().__init__(
            label=_("VIN or serial"),
            max_length=LONGEST_SERIAL + 20,
            help_text=_("As the maker stamped it. From model year 1981 its check digit is looked at."),
            error_messages={"required": _("Enter the VIN or the maker's serial")},
            widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false", "size": 28}),
        )


class CorrectionForm(forms.Form):
    """The fields of a row as they are; `seen` tells what whoever typed has seen of them."""

    use_required_attribute = False
    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, row: models.Model, data: Mapping[str, Any] | None = None) -> None:
        names = [name for name in self.base_fields if name != "seen"]
        self.row = row
        self.before = {name: getattr(row, name) for name in names}
        self.state = sha256_of(canonical_bytes(self.before))
        super().__init__(data, initial={**self.before, "seen": self.state})

    def is_overtaken(self) -> bool:
        """Somebody saved it since the page was opened; what was typed is then shown again."""
        return self.data.get("seen") != self.state

    def as_seen_now(self) -> "CorrectionForm":
        """With what was typed, having now been told of the other's change."""
        typed = {name: self.data[name] for name in self.data}
        return type(self)(self.row, {**typed, "seen": self.state})

    @property
    def now_there(self) -> list[tuple[str, Any]]:
        return [(str(self.fields[name].label), value) for name, value in self.before.items()]

    def lay_on(self) -> list[str]:
        """Lay what was typed on the row; the names of what changed by it."""
        changed = [name for name in self.before if self.cleaned_data[name] != self.before[name]]
        for name in changed:
            setattr(self.row, name, self.cleaned_data[name])
        return changed


class CustomerForm(CorrectionForm):
    name = forms.CharField(label=_("Name"), max_length=120, error_messages={"required": _("Enter the name")})
    phone = forms.CharField(label=_("Phone"), max_length=40, required=False)
    email = forms.EmailField(
        label=_("E-mail"),
        required=False,
        max_length=254,
        error_messages={"invalid": _("Enter an e-mail address, such as name@example.org")},
    )

    row: Customer


class VehicleForm(CorrectionForm):
    model_year = ModelYearField()
    description = forms.CharField(
        label=_("Make and model"), max_length=120, error_messages={"required": _("Enter make and model")}
    )
    serial = SerialField()
    north_america = forms.BooleanField(label=_("Built for North America"), required=False)
    plate = forms.CharField(label=_("Plate"), max_length=16, required=False)

    row: Vehicle

    def clean(self) -> dict[str, Any]:
        given = super().clean() or self.cleaned_data
        if given.get("model_year") and given.get("serial"):
            found = check_serial(
                given["serial"], model_year=given["model_year"], north_america=given["north_america"]
            )
            if not found.is_accepted:
                self.add_error("serial", ". ".join(found.messages))
            given["serial"] = found.normalised
        return given

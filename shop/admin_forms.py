"""Forms of the administration pages: what could not be worked with later is refused here."""

import datetime as dt
import re
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django import forms
from django.contrib.auth.forms import UserChangeForm, UserCreationForm
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from shop.engineering.errors import LimitsError, QuantityError
from shop.engineering.limits import parse_limits
from shop.engineering.quantities import Dimension
from shop.engineering.rules import RULES
from shop.instrument_data import InstrumentFigureError, instrument_data
from shop.models import Calibration, Instrument, Person, ShopSettings
from shop.working_time import DAYS

PIN = re.compile(r"\d{4,8}")


class InstrumentForm(forms.ModelForm[Instrument]):
    class Meta:
        model = Instrument
        fields = (
            *("code", "name", "kind", "unit", "range_low", "range_high"),
            *("resolution", "permissible_error", "is_withdrawn"),
        )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if not self.errors:
            fields = {name: value for name, value in given.items() if name in self.fields}
            try:
                instrument_data(Instrument(**fields), None)
            except InstrumentFigureError as error:
                self.add_error(error.field if error.field in self.fields else None, str(error.message))
        return given


class CalibrationForm(forms.ModelForm[Calibration]):
    class Meta:
        model = Calibration
        fields = ("instrument", "done_on", "due_on", "way", "certificate", "expanded_uncertainty", "passed")

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        done, due = given.get("done_on"), given.get("due_on")
        if done and due and due < done:
            self.add_error("due_on", _("It cannot be due before it was done"))
        instrument = given.get("instrument") or (self.instance.instrument if self.instance.pk else None)
        if not self.errors and instrument:
            try:
                instrument_data(instrument, Calibration(**given))
            except InstrumentFigureError as error:
                self.add_error(error.field if error.field in self.fields else None, str(error.message))
        return given


class ShopSettingsForm(forms.ModelForm[ShopSettings]):
    decision_rule = forms.ChoiceField(label=_("decision rule"), choices=[(name, name) for name in RULES])

    class Meta:
        model = ShopSettings
        fields = (
            *("name", "zone", "hours", "units", "fire_watch_minutes", "fire_watch_source"),
            *("length_tolerance", "torque_tolerance", "angle_tolerance", "decision_rule"),
        )

    def clean_zone(self) -> str:
        zone = str(self.cleaned_data["zone"])
        try:
            ZoneInfo(zone)
        except (ZoneInfoNotFoundError, ValueError, OSError) as error:
            raise forms.ValidationError(_("There is no time zone of that name")) from error
        return zone

    def clean_hours(self) -> Any:
        hours = self.cleaned_data["hours"]
        if not _are_hours(hours):
            raise forms.ValidationError(
                _('Write days from mon to sun, each with its windows: [["07:30", "12:00"], …]')
            )
        return hours

    def clean_length_tolerance(self) -> str:
        return self._tolerance("length_tolerance", Dimension.LENGTH, "10 in")

    def clean_torque_tolerance(self) -> str:
        return self._tolerance("torque_tolerance", Dimension.TORQUE, "10 lbf·ft")

    def clean_angle_tolerance(self) -> str:
        return self._tolerance("angle_tolerance", Dimension.ANGLE, "10°")

    def _tolerance(self, name: str, dimension: Dimension, nominal: str) -> str:
        """A tolerance that a limit without one can be read with."""
        text = str(self.cleaned_data[name])
        try:
            parse_limits(nominal, default_tolerance={dimension: text})
        except (LimitsError, QuantityError) as error:
            raise forms.ValidationError(str(error)) from error
        return text


def _are_hours(hours: Any) -> bool:
    if not isinstance(hours, dict) or not set(hours) <= set(DAYS) or not any(hours.values()):
        return False
    try:
        windows = [
            (dt.time.fromisoformat(a), dt.time.fromisoformat(b)) for day in hours.values() for a, b in day
        ]
    except (TypeError, ValueError):
        return False
    return all(begin < end for begin, end in windows)


class PinForm(forms.ModelForm[Person]):
    """A PIN is given here; only its hash is kept."""

    new_pin = forms.CharField(
        label=_("new PIN"),
        required=False,
        help_text=_("Four to eight digits. Leave it empty to keep the one there is."),
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )

    def clean_new_pin(self) -> str:
        pin = str(self.cleaned_data["new_pin"])
        if pin and not PIN.fullmatch(pin):
            raise forms.ValidationError(_now("A PIN is four to eight digits"))
        return pin

    def save(self, commit: bool = True) -> Person:
        person = super().save(commit=False)
        if self.cleaned_data.get("new_pin"):
            person.set_pin(self.cleaned_data["new_pin"])
        if commit:
            person.save()
        return person


class PersonChangeForm(PinForm, UserChangeForm[Person]):
    pass


class PersonAddForm(PinForm, UserCreationForm[Person]):
    class Meta:
        model = Person
        fields = ("username", "full_name", "role")

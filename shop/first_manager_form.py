"""What the first manager types: the code, the shop's name and zone, who they are, what only they know."""

import datetime as dt
from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from shop.first_manager import is_first_code
from shop.forms import pin_field
from shop.guessing import HeldBackError, claim
from shop.models import Person, ShopSettings
from shop.pins import fault_of_pin, held_back_words

REQUIRED = {
    "code": _("Enter the code"),
    "shop": _("Enter the name of the shop"),
    "zone": _("Enter the time zone"),
    "full_name": _("Enter your name"),
    "username": _("Enter the name that you sign in with"),
    "password": _("Enter a password"),
    "password_again": _("Enter the password again"),
}


def password_field(label: Any, hint: Any = "") -> forms.CharField:
    box = forms.PasswordInput(attrs={"autocomplete": "new-password"})
    return forms.CharField(label=label, help_text=hint, strip=False, widget=box)


class FirstManagerForm(forms.Form):
    """`address` is the network address that it came from; guessing the code holds it back."""

    code = forms.CharField(
        label=_("Code"),
        max_length=20,
        help_text=_("Scribeline shows it where it was started."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autofocus": True}),
    )
    shop = forms.CharField(label=_("Name of the shop"), max_length=80, help_text=_("As on the papers."))
    zone = forms.CharField(
        label=_("Time zone"), max_length=60, help_text=_("Such as America/Chicago or Europe/Berlin.")
    )
    full_name = forms.CharField(label=_("Your name"), max_length=120)
    username = forms.CharField(
        label=_("Sign-in name"),
        max_length=150,
        help_text=_("Short, for the desk; letters, digits and . _ -. It stays."),
        validators=[Person.username_validator],
    )
    password = password_field(_("Password"), _("At least eight characters that nobody guesses."))
    password_again = password_field(_("The password again"))
    pin = pin_field(_("PIN"))
    pin_again = pin_field(_("The PIN again"))

    def __init__(self, data: Any = None, *, address: str, now: dt.datetime) -> None:
        super().__init__(data, use_required_attribute=False, initial={"zone": ShopSettings.current().zone})
        self.address, self.now = address, now
        for name, words in REQUIRED.items():
            self.fields[name].error_messages["required"] = words
        self.fields["pin"].help_text = _now("Four to eight digits. You sign with it what asks for your name.")

    def clean_code(self) -> str:
        """Looked at only where the address is not held back; a right one leaves no mark."""
        try:
            attempt = claim(None, place="first manager", address=self.address, now=self.now)
        except HeldBackError as held:
            raise forms.ValidationError(held_back_words(held, now=self.now)) from held
        if not is_first_code(str(self.cleaned_data["code"])):
            raise forms.ValidationError(_now("This is not the code that stands where Scribeline was started"))
        attempt.delete()
        return ""

    def clean_zone(self) -> str:
        zone = str(self.cleaned_data["zone"])
        if zone not in available_timezones():
            raise forms.ValidationError(_now("There is no time zone of that name"))
        return zone

    def clean_pin(self) -> str:
        pin = str(self.cleaned_data["pin"]).strip()
        if fault := fault_of_pin(pin):
            raise forms.ValidationError(fault)
        return pin

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if "password" in given:
            self._same(given, "password")
            try:
                validate_password(given["password"], self.person)
            except forms.ValidationError as error:
                self.add_error("password", error)
        if "pin" in given:
            self._same(given, "pin")
        return given

    def _same(self, given: dict[str, Any], name: str) -> None:
        if str(given.get(f"{name}_again", "")).strip() != str(given[name]).strip():
            self.add_error(f"{name}_again", _now("The two are not the same. Type both again"))

    @property
    def person(self) -> Person:
        given = self.cleaned_data
        return Person(username=given.get("username", ""), full_name=given.get("full_name", ""))

    @property
    def settings(self) -> ShopSettings:
        row = ShopSettings.current()
        row.name, row.zone = self.cleaned_data["shop"], self.cleaned_data["zone"]
        return row

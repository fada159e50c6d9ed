"""Forms of the ground floor."""

import datetime as dt
from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from shop.canonical import sha256_of
from shop.guessing import HeldBackError, claim, minutes_until
from shop.models import Bay, Person
from shop.pins import PinRefused, confirm_pin, held_back_words
from shop.requests import sender_of


class SignInForm(AuthenticationForm):
    """Name and password at a desk."""

    error_messages = {
        "invalid_login": _("Name and password do not belong together. Capitals count in the password."),
        "inactive": _("This person does not work here any more."),
    }

    def __init__(self, *args: Any, address: str = "", now: dt.datetime | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.address, self.now = address, now or timezone.now()
        self.fields["username"].label = _("Sign-in name")
        self.fields["username"].error_messages["required"] = _("Enter your sign-in name")
        self.fields["password"].error_messages["required"] = _("Enter your password")

    def clean(self) -> dict[str, Any]:
        """Looked at only where nobody is held back; a right one leaves no mark."""
        given = self.cleaned_data
        if "username" not in given or "password" not in given:
            return given
        person = Person.objects.filter(username=given["username"]).first()
        # A person is locked for an address alone, so that nobody can lock another's desk from elsewhere.
        place = f"desk/{sha256_of(self.address.encode())[:24]}"
        try:
            attempt = claim(person, place=place, address=self.address, now=self.now)
        except HeldBackError as held:
            raise forms.ValidationError(self._held_back(held)) from held
        cleaned: dict[str, Any] = super().clean()
        attempt.delete()
        return cleaned

    def _held_back(self, held: HeldBackError) -> str:
        if not held.person:
            return held_back_words(held, now=self.now)
        minutes = minutes_until(held.until, now=self.now)
        return _now("Five wrong passwords for this name. Try again in %(minutes)d min") % {"minutes": minutes}


class TabletCodeForm(forms.Form):
    """For which bay a code is to be made."""

    bay = forms.ModelChoiceField(
        Bay.objects.filter(is_open=True),
        label=_("Bay"),
        to_field_name="number",
        error_messages={
            "required": _("Choose the bay"),
            "invalid_choice": _("There is no open bay of that number"),
        },
    )
    name = forms.CharField(
        label=_("Name of the tablet"),
        max_length=60,
        required=False,
        help_text=_("Such as “blue frame, by the press”; empty takes the bay's."),
    )


def pin_field(label: Any) -> forms.CharField:
    box = forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off", "class": "pin"})
    return forms.CharField(label=label, max_length=8, required=False, widget=box)


class OwnPinForm(forms.Form):
    """What is signed at a desk by whoever is signed in there, with the PIN once more."""

    def __init__(self, by: Person, data: Any = None) -> None:
        super().__init__(data, use_required_attribute=False)
        self.by = by
        self.fields["pin"] = pin_field(_now("PIN of %(name)s") % {"name": by})

    def confirmed(self, request: HttpRequest) -> bool:
        """Whether the PIN is right; where it is not, that is said beside the field."""
        if not self.is_valid():
            return False
        pin, place = self.cleaned_data["pin"], f"desk/{self.by.pk}"
        try:
            confirm_pin(self.by, pin, place=place, now=timezone.now(), address=sender_of(request))
        except PinRefused as refused:
            self.add_error("pin", refused.message)
        return not self.errors

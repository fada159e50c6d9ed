"""Forms of the ground floor."""

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.utils.translation import gettext_lazy as _

from shop.models import Bay


class SignInForm(AuthenticationForm):
    """Name and password at a desk."""

    error_messages = {
        "invalid_login": _("Name and password do not belong together. Capitals count in the password."),
        "inactive": _("This person does not work here any more."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = _("Sign-in name")
        self.fields["username"].error_messages["required"] = _("Enter your sign-in name")
        self.fields["password"].error_messages["required"] = _("Enter your password")


class TabletForm(forms.Form):
    """Which bay this browser is to be the tablet of."""

    bay = forms.ModelChoiceField(
        Bay.objects.filter(is_open=True),
        to_field_name="number",
        error_messages={
            "required": _("Choose the bay"),
            "invalid_choice": _("There is no open bay of that number"),
        },
    )

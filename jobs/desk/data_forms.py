"""A table to be taken in: a file or pasted text, then what was checked, handed back to be taken in."""

import base64
import binascii
import zlib
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from parts.forms.bringing_in import BringInForm
from shop.csv_files import MOST_BYTES


class DataForm(BringInForm):
    file = forms.FileField(
        label=gettext_lazy("File, CSV or YAML"),
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".csv,.yaml,.yml,text/csv,text/plain"}),
    )


class CheckedForm(forms.Form):
    """What was checked, packed, so that exactly that is taken in."""

    checked = forms.CharField(widget=forms.HiddenInput)

    def clean_checked(self) -> bytes:
        try:
            packed = base64.b64decode(self.cleaned_data["checked"], validate=True)
            unpacking = zlib.decompressobj()
            content = unpacking.decompress(packed, MOST_BYTES + 1)
        except (binascii.Error, zlib.error, ValueError) as error:
            raise forms.ValidationError(
                _("This is no list that was checked here; bring it in again.")
            ) from error
        return content


def packed(content: bytes) -> dict[str, Any]:
    return {"checked": base64.b64encode(zlib.compress(content)).decode()}

"""A file or pasted text to bring in. What was given stays on the page, so that it can be put right there."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.csv_files import MOST_BYTES


class BringInForm(forms.Form):
    file = forms.FileField(
        label=gettext_lazy("File"),
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": ".csv,text/csv,text/plain"}),
    )
    text = forms.CharField(
        label=gettext_lazy("Or paste the list, with the names of the columns"),
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 12, "cols": 100, "spellcheck": "false", "wrap": "off"}),
    )

    def clean(self) -> dict[str, Any]:
        given = dict(self.cleaned_data)
        has_text = bool(given.get("text", "").strip())
        if given.get("file") and has_text:
            raise forms.ValidationError(_("A file and a pasted list: give one of them."))
        if given.get("file") is None and not has_text and not self.errors:
            raise forms.ValidationError(_("Choose a file or paste a list."))
        return given

    def content(self) -> bytes:
        """What was given, as bytes."""
        file = self.cleaned_data["file"]
        if file is None:
            return str(self.cleaned_data["text"]).encode()
        return bytes(file.read(MOST_BYTES + 1))


class BringInKitForm(BringInForm):
    release = forms.BooleanField(
        label=gettext_lazy("Go on to its release: kits are ordered by it then, and it never changes again"),
        required=False,
    )


def shown_again(form: BringInForm, content: bytes) -> dict[str, Any]:
    """The form's data with the file's text in the field for pasting, where it is text."""
    data = form.data.dict() if hasattr(form.data, "dict") else dict(form.data)
    if form.cleaned_data["file"] is not None and b"\0" not in content:
        data["text"] = content.decode("utf-8-sig", errors="replace")
    return data

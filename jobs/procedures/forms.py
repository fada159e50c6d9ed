"""The form by which a procedure is brought in: a file or its text."""

import hashlib
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.procedures.yaml_text import MAX_BYTES


class BringInForm(forms.Form):
    """What was chosen or pasted. The text is taken as it is: the reader of procedure files judges it."""

    file = forms.FileField(
        label=gettext_lazy("File"),
        required=False,
        allow_empty_file=True,
        help_text=gettext_lazy("YAML, saved as UTF-8"),
    )
    # A plain field: a text field would strip the text and refuse characters without naming their line.
    text = forms.Field(
        label=gettext_lazy("Or its text"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 18, "spellcheck": "false", "class": "source-text"}),
    )
    replace_draft = forms.BooleanField(
        label=gettext_lazy("Replace the draft of the same revision, if there is one"), required=False
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        file = cleaned.get("file")
        if file is not None:
            cleaned["content"] = file.read(MAX_BYTES + 1)
        else:
            cleaned["content"] = str(cleaned.get("text") or "").replace("\r\n", "\n").encode(errors="replace")
        if not cleaned["content"].strip():
            self.add_error("file", _("Choose a file or paste the text of one"))
        return cleaned

    @property
    def content(self) -> bytes:
        content: bytes = self.cleaned_data["content"]
        return content

    @property
    def replaces_draft(self) -> bool:
        return bool(self.cleaned_data["replace_draft"])

    @property
    def shown_text(self) -> str:
        """The text as the page gives it back; nothing where the file is no text."""
        try:
            return self.content.decode("utf-8-sig")
        except UnicodeDecodeError:
            return ""


def digest_of(content: bytes) -> str:
    """By which a text is known again that was checked before."""
    text = content.decode("utf-8-sig", errors="replace").replace("\r\n", "\n")
    return hashlib.sha256(text.encode()).hexdigest()

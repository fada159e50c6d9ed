"""The forms by which a procedure comes in: a file or its text; a head from which it is written."""

import hashlib
from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.procedures.beginning import Route
from jobs.procedures.yaml_text import MAX_BYTES
from shop.file_errors import FileErrors


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


REQUIRED = {
    "code": gettext_lazy("Enter a code for the procedure"),
    "name": gettext_lazy("Enter its name"),
    "kit": gettext_lazy("Enter the code of its kit list"),
    "vehicle_family": gettext_lazy("Enter the family of cars that it is for"),
    "route": gettext_lazy("Choose what it begins with"),
}


class ProcedureNewForm(forms.Form):
    """The head of a procedure that is not here yet, and with what its route begins."""

    code = forms.CharField(
        label=gettext_lazy("Code"), max_length=30, help_text=gettext_lazy("Such as FC-300; it stays.")
    )
    name = forms.CharField(
        label=gettext_lazy("Name"),
        max_length=120,
        help_text=gettext_lazy("Such as “front clip, welded”."),
    )
    kit = forms.CharField(
        label=gettext_lazy("Kit"), max_length=30, help_text=gettext_lazy("The code of its kit list.")
    )
    vehicle_family = forms.CharField(label=gettext_lazy("Vehicle family"), max_length=120)
    route = forms.ChoiceField(
        label=gettext_lazy("Begin with"),
        choices=[
            (
                Route.USUAL,
                gettext_lazy(
                    "the usual route of a welded front clip: operations, gates and checkpoints, its times and"
                    " limits left open for the kit maker's figures"
                ),
            ),
            (Route.ONE, gettext_lazy("one operation, for a route of your own")),
        ],
        initial=Route.USUAL,
        widget=forms.RadioSelect,
    )

    def __init__(self, data: Any = None, *, kits: Sequence[str] = ()) -> None:
        super().__init__(data, use_required_attribute=False)
        for name, asked in REQUIRED.items():
            self.fields[name].error_messages["required"] = asked
        if kits:
            words = {"kits": ", ".join(kits)}
            self.fields["kit"].help_text = _("The code of its kit list. Here are %(kits)s.") % words

    def clean_code(self) -> str:
        return str(self.cleaned_data["code"]).upper()

    def tell(self, refused: FileErrors) -> None:
        """What the reader of files finds wrong, beside its field."""
        for error in refused.errors:
            key = error.name.removeprefix("procedure ")
            self.add_error(key if key in self.fields else None, error.message)

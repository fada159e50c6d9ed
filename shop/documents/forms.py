"""The wish for a paper, as a page sends it."""

from typing import Any
from uuid import uuid4

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.documents import kinds
from shop.documents.kinds import PaperSize
from shop.models import ShopSettings


class AskForm(forms.Form):
    """`id` is made when the form is drawn, so that a form sent twice asks once."""

    id = forms.UUIDField(widget=forms.HiddenInput)
    kind = forms.CharField(max_length=30, widget=forms.HiddenInput)
    stream = forms.CharField(max_length=60, widget=forms.HiddenInput)
    paper = forms.ChoiceField(
        label=gettext_lazy("Paper size"),
        choices=PaperSize.choices,
        widget=forms.RadioSelect,
        error_messages={
            "required": gettext_lazy("Choose a paper size."),
            "invalid_choice": gettext_lazy("There is no such paper size here; choose A4 or Letter."),
        },
    )

    @classmethod
    def blank(cls, kind: str, stream: str) -> "AskForm":
        """A form to be filled in, its paper size the one the shop's printer takes."""
        inch = ShopSettings.current().units == "inch"
        size = PaperSize.LETTER if inch else PaperSize.A4
        return cls(
            initial={"id": uuid4(), "kind": kind, "stream": stream, "paper": size},
            auto_id=f"ask-{kind}-%s",
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        kind = kinds.find(cleaned.get("kind", ""))
        if kind is None:
            raise forms.ValidationError(_("There is no such paper."))
        if kind.subject(cleaned.get("stream", "")) is None:
            raise forms.ValidationError(
                _("There is no such paper about %(stream)s.") % {"stream": cleaned.get("stream") or "–"}
            )
        return cleaned

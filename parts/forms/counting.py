"""What is typed on a counting sheet: one small form a part, read as `parts.deliveries`."""

from dataclasses import replace
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from parts.counting_rows import CountingRow
from parts.counts import CountError, read_count
from parts.deliveries import MOST_NOTE, MOST_PART, CountedPart
from parts.standing import LineStanding


class PiecesField(forms.CharField):
    """A number of pieces as typed; blank is None, for the sheet tells blank from 0."""

    def __init__(self, label: Any, **attrs: str) -> None:
        attrs |= {"inputmode": "numeric", "autocomplete": "off", "class": "short"}
        super().__init__(label=label, required=False, widget=forms.TextInput(attrs=attrs))

    def clean(self, value: Any) -> int | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            return read_count(text)
        except CountError as error:
            raise ValidationError(error.message) from error


class PiecesForm(forms.Form):
    """Good, damaged and wrong pieces of one part. Left blank altogether, the part was not counted."""

    counted = PiecesField(gettext_lazy("Good"), **{"data-count": ""})
    damaged = PiecesField(gettext_lazy("Damaged"))
    wrong = PiecesField(gettext_lazy("Wrong"))
    note = forms.CharField(
        label=gettext_lazy("Note"),
        max_length=MOST_NOTE,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def clean(self) -> dict[str, Any]:
        typed = dict(self.cleaned_data)
        others = typed.get("damaged") or typed.get("wrong") or typed.get("note")
        if others and typed.get("counted") is None and not self.has_error("counted"):
            self.add_error("counted", _("Say how many are good, 0 if none."))
        return typed

    def name_fields(self, row: str) -> None:
        """Say in each field's name which row it is in, for those who hear the page."""
        for name in ("part_number", "counted", "damaged", "wrong", "note"):
            if (field := self.fields.get(name)) is None:
                continue
            field.widget.attrs["aria-label"] = f"{field.label}, {row}"

    @property
    def is_counted(self) -> bool:
        return self.is_valid() and self.cleaned_data["counted"] is not None

    @property
    def of_part(self) -> str:
        return ""

    def part(self) -> CountedPart:
        """What was counted, of a form that is right."""
        typed = self.cleaned_data
        return CountedPart(
            part_number=self.of_part,
            counted=typed["counted"],
            damaged=typed["damaged"] or 0,
            wrong=typed["wrong"] or 0,
            note=typed["note"],
        )


class CountForm(PiecesForm):
    """A row of the sheet. `would_stand`: how its line stands with what is typed."""

    over_confirmed = forms.BooleanField(label=gettext_lazy("Yes, counted again"), required=False)
    more_came = forms.BooleanField(label=gettext_lazy("Yes, these came beside them"), required=False)
    would_stand: LineStanding | None = None
    asked_again: bool = False

    def __init__(self, row: CountingRow, data: Any = None, *, prefix: str, **options: Any) -> None:
        super().__init__(data, prefix=prefix, **options)
        self.row = row
        self.name_fields(row.part_number)

    @property
    def of_part(self) -> str:
        return self.row.part_number

    def part(self) -> CountedPart:
        typed = self.cleaned_data
        return replace(
            super().part(),
            is_unlisted=self.row.line is None,
            over_confirmed=typed["over_confirmed"],
            more_came=typed["more_came"],
        )

    @property
    def asks_whether_more_came(self) -> bool:
        return bool(self.asked_again or self["more_came"].value())


class UnlistedForm(PiecesForm):
    """A part that came and is not on the sheet."""

    part_number = forms.CharField(
        label=gettext_lazy("Part number"),
        max_length=MOST_PART,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    field_order = ("part_number", "counted", "damaged", "wrong", "note")

    def __init__(self, data: Any, *, number: int) -> None:
        super().__init__(data, prefix=f"extra{number}")
        self.name_fields(_("not in the list, row %(number)d") % {"number": number})

    def clean(self) -> dict[str, Any]:
        typed = super().clean()
        if not typed.get("part_number") and not self.has_error("part_number"):
            if any(typed.get(name) not in (None, "") for name in ("counted", "damaged", "wrong", "note")):
                self.add_error("part_number", _("Say which part this is, as it is marked."))
        elif typed.get("counted") is None and not self.has_error("counted"):
            self.add_error("counted", _("Say how many are good, 0 if none."))
        return typed

    @property
    def of_part(self) -> str:
        return str(self["part_number"].value() or "").strip()

    def part(self) -> CountedPart:
        return replace(super().part(), is_unlisted=True)

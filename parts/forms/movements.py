"""What is typed of parts beside a delivery: counted again, bought elsewhere, sent back, photographed."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.core.validators import MinValueValidator
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from parts.buying import Bought
from parts.damage import MOST_PHOTOS
from parts.deliveries import CountedPart
from parts.forms.counting import PiecesField
from parts.forms.entry import EntryFields
from parts.forms.orders import DayInput
from parts.models import ReturnReason
from parts.returning import SentBack
from parts.telling_carrier import Told
from shop.models import Person


class NeededPiecesField(PiecesField):
    """A number of pieces that has to be said."""

    def clean(self, value: Any) -> int:
        pieces = super().clean(value)
        if pieces is None:
            raise forms.ValidationError(_("Type a number of pieces, 0 if there are none."))
        return pieces


def typed_text(label: Any, most: int, *, required: bool = True, hint: Any = "") -> forms.CharField:
    attrs = {"autocomplete": "off"}
    return forms.CharField(
        label=label, max_length=most, required=required, help_text=hint, widget=forms.TextInput(attrs=attrs)
    )


class RecountForm(EntryFields):
    counted = NeededPiecesField(gettext_lazy("Good"))
    damaged = PiecesField(gettext_lazy("Damaged"))
    wrong = PiecesField(gettext_lazy("Wrong"))
    reason = typed_text(gettext_lazy("Why the count changes"), 200)
    over_confirmed = forms.BooleanField(label=gettext_lazy("Yes, counted again"), required=False)

    def pieces(self, part_number: str) -> CountedPart:
        typed = self.cleaned_data
        return CountedPart(
            part_number,
            typed["counted"],
            typed["damaged"] or 0,
            typed["wrong"] or 0,
            over_confirmed=typed["over_confirmed"],
        )


class BuyForm(EntryFields):
    quantity = NeededPiecesField(gettext_lazy("Pieces"))
    bought_from = typed_text(gettext_lazy("Bought from"), 120)
    part_number = typed_text(gettext_lazy("Part number there"), 40, required=False)
    grade = typed_text(
        gettext_lazy("Grade"),
        30,
        required=False,
        hint=gettext_lazy("As it is marked on the head, such as 8 or 10.9."),
    )
    price_each = forms.DecimalField(
        label=gettext_lazy("Price, each"),
        max_digits=10,
        decimal_places=2,
        required=False,
        validators=[MinValueValidator(Decimal(0))],
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "short"}),
    )
    note = typed_text(gettext_lazy("Note"), 200, required=False)

    def bought(self) -> Bought:
        names = ("quantity", "bought_from", "part_number", "grade", "price_each", "note")
        return Bought(**{name: self.cleaned_data[name] for name in names})


class SendBackForm(EntryFields):
    part_number = typed_text(gettext_lazy("Part number"), 40)
    quantity = NeededPiecesField(gettext_lazy("Pieces"))
    reason = forms.ChoiceField(
        label=gettext_lazy("Why it goes back"), choices=ReturnReason.choices, widget=forms.RadioSelect
    )
    reference = typed_text(
        gettext_lazy("Return number"),
        60,
        required=False,
        hint=gettext_lazy("What the supplier gave for it: a return or claim number."),
    )
    sent_on = forms.DateField(label=gettext_lazy("Sent on"), widget=DayInput)
    note = typed_text(gettext_lazy("Note"), 200, required=False)

    def sent(self) -> SentBack:
        names = ("part_number", "quantity", "reason", "sent_on", "reference", "note")
        return SentBack(**{name: self.cleaned_data[name] for name in names})


class PersonField(forms.ModelChoiceField[Person]):
    def label_from_instance(self, obj: Person) -> str:
        return str(obj)


class CarrierToldForm(EntryFields):
    told_on = forms.DateField(label=gettext_lazy("Told on"), widget=DayInput)
    told_by = PersonField(
        label=gettext_lazy("Told by"), queryset=Person.objects.filter(is_active=True), empty_label=None
    )
    reference = typed_text(
        gettext_lazy("The carrier's number for it"),
        60,
        required=False,
        hint=gettext_lazy("A claim or ticket number, as the carrier gave it."),
    )
    note = typed_text(
        gettext_lazy("Note"), 200, required=False, hint=gettext_lazy("Whom you told there, and how.")
    )

    def told(self) -> Told:
        names = ("told_on", "told_by", "reference", "note")
        return Told(**{name: self.cleaned_data[name] for name in names})


class PhotosInput(forms.FileInput):
    allow_multiple_selected = True

    def __init__(self) -> None:
        super().__init__(attrs={"accept": "image/*", "multiple": True})


class PhotosField(forms.FileField):
    """One or more pictures; whether they can be read is found when they are cleaned."""

    widget = PhotosInput

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile[bytes]]:
        files = [file for file in (data if isinstance(data, list | tuple) else [data]) if file]
        if not files:
            raise forms.ValidationError(_("Take a photo, or choose one."))
        if len(files) > MOST_PHOTOS:
            raise forms.ValidationError(_("At most %(most)d photos at once.") % {"most": MOST_PHOTOS})
        return files


class PhotosForm(EntryFields):
    part_number = forms.ChoiceField(label=gettext_lazy("What is damaged"), choices=[])
    photos = PhotosField(
        label=gettext_lazy("Photos"),
        help_text=gettext_lazy(
            "The carton with its label, then the part. At most 15 MB each; where it was taken is removed."
        ),
    )

    def __init__(self, *args: Any, parts: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["part_number"] = forms.ChoiceField(
            label=gettext_lazy("What is damaged"), choices=parts, widget=forms.RadioSelect
        )

"""What can be recorded from a desk: one form for each kind of entry, with the words on its button.

The forms only hold and show what was typed; whether it can be recorded the one door says.
"""

import uuid
from collections.abc import Mapping
from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.models import Disposition, Stands
from jobs.record import JobRecord
from shop.models import Bay, Person

Choices = list[tuple[str, Any]]
YES_NO: Choices = [("yes", _("Yes")), ("no", _("No"))]


class ReasonField(forms.CharField):
    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_length=300, widget=forms.Textarea(attrs={"rows": 2}), **kwargs)


class PinField(forms.CharField):
    """Never given back to the page: a PIN is typed anew each time."""

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"inputmode": "numeric", "autocomplete": "off", "class": "short"}
        super().__init__(max_length=12, widget=forms.PasswordInput(attrs=attrs), **kwargs)


class EntryForm(forms.Form):
    """An entry on a job as it is typed at a desk."""

    kind: ClassVar[str]
    action: ClassVar[Any]
    asks_pin: ClassVar[bool] = False
    may_need_second: ClassVar[bool] = False
    # What the page hears when it was recorded; whoever shows the thing then asks for it anew.
    refreshes: ClassVar[str] = "job-changed"

    def __init__(
        self,
        record: JobRecord,
        subject: str,
        *,
        key: str = "",
        data: Mapping[str, Any] | None = None,
        initial: Mapping[str, Any] | None = None,
        second: bool = False,
    ) -> None:
        self.key = "-".join(
            part for part in (self.kind, subject.replace(".", "-").replace("/", "-"), key) if part
        )
        super().__init__(
            data,
            initial=dict(initial or {}),
            auto_id=self.key.replace("%", "%%") + "-%s",
            use_required_attribute=False,
        )
        self.record, self.subject, self.extra_key = record, subject, key
        self.saw = record.saw(subject)
        self.entry_id = uuid.uuid4()
        self.prepare()
        if self.may_need_second and (second or (data and "second_username" in data)):
            self.fields["second_username"] = forms.ChoiceField(
                label=_("Second qualified person"), choices=_people(), required=False
            )
            self.fields["second_pin"] = PinField(label=_("PIN of the second person"), required=False)
        if self.asks_pin:
            self.fields["pin"] = PinField(label=_("Your PIN"), required=False)
        for field in self.fields.values():
            field.required = False

    def prepare(self) -> None:
        """Fill in what hangs on the job."""

    @property
    def number(self) -> int:
        return self.record.job.number

    def tell(self, errors: Mapping[str, str]) -> None:
        """Put the door's messages beside their fields; one without a field stands above them."""
        self.is_valid()
        for name, message in errors.items():
            seen = (f for f in (f"p_{name}", name) if f in self.fields)
            field = next((f for f in seen if not self.fields[f].widget.is_hidden), None)
            self.add_error(field, message)


class StartForm(EntryForm):
    kind = "start"
    action = _("Start it")


class FinishForm(EntryForm):
    kind = "finish"
    action = _("Finish it")


class PassHoldPointForm(EntryForm):
    kind = "finish"
    action = _("Pass the hold point")
    asks_pin = True


class LoosenForm(EntryForm):
    kind = "loosen"
    action = _("Record that it was loosened")
    p_checkpoint = forms.CharField(widget=forms.HiddenInput)
    p_reason = ReasonField(label=_("Why it was loosened"))


class ProblemForm(EntryForm):
    kind = "problem"
    action = _("Stop: problem")
    p_text = forms.CharField(
        label=_("What is wrong"), max_length=500, widget=forms.Textarea(attrs={"rows": 3})
    )


class DispositionForm(EntryForm):
    kind = "disposition"
    action = _("Decide")
    asks_pin = True
    may_need_second = True
    p_nonconformance = forms.CharField(widget=forms.HiddenInput)
    p_disposition = forms.ChoiceField(
        label=_("What is done"), choices=Disposition.choices, widget=forms.RadioSelect
    )
    p_reason = ReasonField(label=_("Reason"), help_text=_("It shows on the papers."))

    def prepare(self) -> None:
        here = [line for line in self.record.kit.lines if line.here]
        if here:
            parts = ((line.part_number, f"{line.part_number} {line.description}") for line in here)
            self.fields["p_part"] = forms.ChoiceField(
                label=_("Part that is scrapped"),
                choices=[("", _("none of the kit")), *parts],
                help_text=_("It is missing again and is ordered anew."),
            )
            self.fields["p_pieces"] = forms.CharField(
                label=_("Pieces scrapped"),
                widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "short"}),
            )


class ReworkCheckedForm(EntryForm):
    kind = "rework_checked"
    action = _("The rework is good")
    asks_pin = True
    p_nonconformance = forms.CharField(widget=forms.HiddenInput)


class AcceptCloseForm(EntryForm):
    kind = "accept_close"
    action = _("Accept it by name")
    asks_pin = True
    may_need_second = True
    p_checkpoint = forms.CharField(widget=forms.HiddenInput)
    p_reason = ReasonField(label=_("Reason"), help_text=_("It shows on the papers."))


class OverrideForm(EntryForm):
    kind = "override"
    action = _("Set it aside in my name")
    asks_pin = True
    p_reason_code = forms.CharField(widget=forms.HiddenInput)
    p_reason = ReasonField(label=_("Reason"), help_text=_("It shows on the papers, with your name."))


class MoveForm(EntryForm):
    kind = "move"
    action = _("Move it")
    p_bay = forms.ChoiceField(label=_("To"))
    p_stands = forms.ChoiceField(label=_("Stands there"), choices=Stands.choices, widget=forms.RadioSelect)

    def prepare(self) -> None:
        job = self.record.job
        bays = Bay.objects.filter(is_open=True)
        self.fields["p_bay"] = forms.ChoiceField(
            label=_("To"),
            choices=[
                ("", _("out of the bays")),
                *((str(bay.number), _bay_words(bay, job.bay_id)) for bay in bays),
            ],
            initial=str(job.bay.number) if job.bay else "",
        )
        self.fields["p_stands"].initial = job.stands


class ReleaseForm(EntryForm):
    kind = "release"
    action = _("Release the car")
    asks_pin = True


FORMS: tuple[type[EntryForm], ...] = (
    StartForm,
    LoosenForm,
    ProblemForm,
    DispositionForm,
    ReworkCheckedForm,
    AcceptCloseForm,
    OverrideForm,
    MoveForm,
    ReleaseForm,
)


def _bay_words(bay: Bay, here: int | None) -> str:
    return _("%(bay)s (here)") % {"bay": bay} if bay.pk == here else str(bay)


def _people() -> Choices:
    people = Person.objects.filter(is_active=True).exclude(pin_hash="")
    return [("", _("Choose")), *((p.username, str(p)) for p in people)]

"""What a desk records of a customer's word and money: authority, extra work, answers, payments."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.desk.forms import YES_NO, Choices, EntryForm, ReasonField
from jobs.models import AuthorityWay, InvoiceKind, PaymentWay

# The link is the customer's own way; nobody at a desk answers by it.
WAYS: Choices = [
    ("", _("Choose")),
    *((value, label) for value, label in AuthorityWay.choices if value != AuthorityWay.LINK),
]


class AmountField(forms.CharField):
    """Money as people type it; a text field, or the browser throws away what it cannot read."""

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"inputmode": "decimal", "autocomplete": "off", "class": "amount"}
        super().__init__(max_length=30, widget=forms.TextInput(attrs=attrs), **kwargs)


class PhotoField(forms.FileField):
    """Taken with the camera or chosen; recorded before the entry that refers to it."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(widget=forms.ClearableFileInput(attrs={"accept": "image/*"}), **kwargs)


class AuthorityForm(EntryForm):
    kind = "authority"
    action = _("Record the authority")
    p_scope = forms.CharField(
        label=_("Work allowed"), max_length=2000, widget=forms.Textarea(attrs={"rows": 3})
    )
    p_allows_cutting = forms.ChoiceField(
        label=_("May the car be cut?"), choices=YES_NO, widget=forms.RadioSelect, initial="no"
    )
    p_amount_limit = AmountField(
        label=_("Up to, tax included"), help_text=_("Left empty, no limit was agreed.")
    )
    p_given_by = forms.CharField(label=_("Given by"), max_length=120)
    p_way = forms.ChoiceField(label=_("How"), choices=WAYS)
    p_photo = forms.CharField(widget=forms.HiddenInput)
    photo = PhotoField(label=_("Photo of the signed paper"), help_text=_("Only for a signed paper."))


class ExtraWorkForm(EntryForm):
    kind = "extra_work"
    action = _("Ask the customer")
    p_text = forms.CharField(
        label=_("What was found, and what is to be done"),
        max_length=1000,
        help_text=_("The customer reads this as it stands."),
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    p_operation = forms.ChoiceField(label=_("Found at"))
    p_price = AmountField(label=_("Price, tax included"))
    p_hours = AmountField(
        label=_("Or hours"), help_text=_("Then the price is worked out at the shop's rate.")
    )
    p_days_later = forms.CharField(
        label=_("Moves the date by, days"),
        max_length=5,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "short"}),
    )
    p_found_work = forms.CharField(widget=forms.HiddenInput)
    p_photos = forms.CharField(widget=forms.HiddenInput)
    p_photo = forms.CharField(widget=forms.HiddenInput)
    photo = PhotoField(label=_("Photo of what was found"))

    def prepare(self) -> None:
        self.fields["p_operation"] = forms.ChoiceField(
            label=_("Found at"),
            choices=[
                ("", _("the car as a whole")),
                *((o.code, f"{o.code} {o.operation.title}") for o in self.record.operations),
            ],
        )


class FoundWorkLeftForm(EntryForm):
    kind = "found_work_left"
    action = _("The customer is not asked")
    p_found_work = forms.CharField(widget=forms.HiddenInput)
    p_reason = ReasonField(label=_("Why not"), help_text=_("Whoever found it reads this at the tablet."))


class AnswerForm(EntryForm):
    """What the customer said, as the desk has it: on paper, by their name typed here, or in a message."""

    p_answer = forms.ChoiceField(
        label=_("The customer says"), choices=YES_NO, widget=forms.RadioSelect(attrs={"class": "yes-no"})
    )
    p_given_by = forms.CharField(label=_("Said by"), max_length=120)
    p_way = forms.ChoiceField(label=_("How"), choices=WAYS)
    p_photo = forms.CharField(widget=forms.HiddenInput)
    photo = PhotoField(label=_("Photo of the signed paper"), help_text=_("Only for a signed paper."))


class ExtraWorkAnswerForm(AnswerForm):
    kind = "extra_work_answer"
    action = _("Record the answer")
    p_extra_work = forms.CharField(widget=forms.HiddenInput)


class ExtraWorkWithdrawnForm(EntryForm):
    kind = "extra_work_withdrawn"
    action = _("Take the question back")
    p_extra_work = forms.CharField(widget=forms.HiddenInput)
    p_reason = ReasonField(label=_("Why it is taken back"))


class EstimateAnswerForm(AnswerForm):
    kind = "estimate_answer"
    action = _("Record the answer")
    p_estimate = forms.CharField(widget=forms.HiddenInput)
    p_allows_cutting = forms.ChoiceField(
        label=_("May the car be cut?"), choices=YES_NO, widget=forms.RadioSelect, initial="no"
    )

    def prepare(self) -> None:
        if not self.record.cuts_structure:
            del self.fields["p_allows_cutting"]


class PaymentForm(EntryForm):
    kind = "payment"
    action = _("Record the payment")
    p_direction = forms.ChoiceField(
        label=_("The money was"),
        choices=[("in", _("received")), ("back", _("given back"))],
        widget=forms.RadioSelect,
        initial="in",
    )
    p_amount = AmountField(label=_("Amount"))
    p_way = forms.ChoiceField(label=_("How"), choices=[("", _("Choose")), *PaymentWay.choices])
    p_invoice = forms.ChoiceField(label=_("For invoice"))
    p_note = forms.CharField(label=_("Note"), max_length=200)

    def prepare(self) -> None:
        invoices = self.record.job.invoices.exclude(kind=InvoiceKind.CREDIT)
        self.fields["p_invoice"] = forms.ChoiceField(
            label=_("For invoice"),
            choices=[
                ("", _("none in particular")),
                *((str(i.number), f"{i.number} {i.get_kind_display()}") for i in invoices),
            ],
        )


MONEY_FORMS: tuple[type[EntryForm], ...] = (
    AuthorityForm,
    ExtraWorkForm,
    ExtraWorkAnswerForm,
    ExtraWorkWithdrawnForm,
    FoundWorkLeftForm,
    EstimateAnswerForm,
    PaymentForm,
)

"""Deciding about one order since its list was superseded."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from parts.forms.entry import EntryFields
from parts.kit_superseding import KitChange, needs_second
from parts.models import KitAnswer
from shop.forms import pin_field
from shop.models import Person


class KitDecisionForm(EntryFields):
    second_for: tuple[KitAnswer, ...] = ()

    to = forms.CharField(widget=forms.HiddenInput)
    answer = forms.ChoiceField(
        label=gettext_lazy("This order"), choices=KitAnswer.choices, widget=forms.RadioSelect
    )
    reason = forms.CharField(label=gettext_lazy("Reason"), max_length=300)
    pin = pin_field(gettext_lazy("Your PIN"))
    second_username = forms.ChoiceField(
        label=gettext_lazy("Second qualified person"),
        required=False,
    )
    second_pin = pin_field(gettext_lazy("PIN of the second person"))

    def ask_of(self, change: KitChange) -> "KitDecisionForm":
        """The second person is asked for those answers alone that leave parts of safety by the older list."""
        self.second_for = tuple(each for each in KitAnswer if needs_second(change, each))
        if not self.second_for:
            del self.fields["second_username"], self.fields["second_pin"]
            return self
        people = Person.objects.filter(is_active=True).order_by("full_name")
        choices = [("", _("nobody")), *((p.username, str(p)) for p in people if p.pin_hash)]
        field = self.fields["second_username"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices
        answers = "; ".join(str(each.label).partition(":")[0] for each in self.second_for)
        field.help_text = _(
            "For “%(answers)s”: parts of steering, suspension, brakes or welds stay by the older list."
        ) % {"answers": answers}
        return self

    def clean(self) -> dict[str, Any] | None:
        """Nobody signs beside an answer that needs no second person, whatever stood in the fields before."""
        if self.cleaned_data.get("answer") not in self.second_for:
            self.cleaned_data.pop("second_username", None)
        return self.cleaned_data

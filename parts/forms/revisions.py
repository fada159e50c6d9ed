"""Deciding about one order since its list was superseded."""

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from parts.forms.entry import EntryFields
from parts.kit_superseding import KitChange
from parts.models import KitAnswer
from shop.forms import pin_field
from shop.models import Person


class KitDecisionForm(EntryFields):
    to = forms.CharField(widget=forms.HiddenInput)
    answer = forms.ChoiceField(
        label=gettext_lazy("This order"), choices=KitAnswer.choices, widget=forms.RadioSelect
    )
    reason = forms.CharField(label=gettext_lazy("Reason"), max_length=300)
    pin = pin_field(gettext_lazy("Your PIN"))
    second_username = forms.ChoiceField(
        label=gettext_lazy("Second qualified person"),
        required=False,
        help_text=gettext_lazy("where parts of steering, suspension, brakes or welds stay by the older list"),
    )
    second_pin = pin_field(gettext_lazy("PIN of the second person"))

    def ask_of(self, change: KitChange) -> "KitDecisionForm":
        """Without the second person where nothing of the change is about safety."""
        if not change.touches_safety:
            del self.fields["second_username"], self.fields["second_pin"]
            return self
        people = Person.objects.filter(is_active=True).order_by("full_name")
        choices = [("", _("nobody")), *((p.username, str(p)) for p in people if p.pin_hash)]
        field = self.fields["second_username"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = choices
        return self

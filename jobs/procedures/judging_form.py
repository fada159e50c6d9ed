"""The form by which a lead decides how an unprovable limit is judged."""

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.models import JudgedWay
from shop.models import Person, Role


class JudgingForm(forms.Form):
    way = forms.ChoiceField(
        label=_("How it is judged"), choices=JudgedWay.choices, widget=forms.RadioSelect, required=False
    )
    instrument = forms.CharField(
        label=_("Which instrument is bought or hired"), max_length=80, required=False
    )
    reason = forms.CharField(label=_("Reason; it shows on the papers"), max_length=300, required=False)

    def __init__(self, *args: object, second: bool, viewer: Person, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        if second:
            leads = Person.objects.filter(is_active=True, role=Role.LEAD).exclude(pk=viewer.pk)
            choices = [("", _("Choose")), *((p.username, str(p)) for p in leads)]
            self.fields["second_username"] = forms.ChoiceField(
                label=_("Second lead, for simple acceptance"), choices=choices, required=False
            )
            self.fields["second_pin"] = forms.CharField(
                label=_("PIN of the second lead"),
                required=False,
                max_length=12,
                widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
            )

"""Readings that are taken from a desk or an inspector's own screen: a witness's, and a weld judged."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.bay.panels import Panel
from jobs.desk.forms import EntryForm

Panels = dict[str, Panel]


class ReadingForm(EntryForm):
    """One checkpoint, with the fields that its panel asks for. It never shows another's reading."""

    kind = "reading"
    action = _("Record the judgement")

    def __init__(self, panel: Panel, *args: Any, **kwargs: Any) -> None:
        self.panel = panel
        super().__init__(*args, key=panel.code.replace(".", "-"), **kwargs)

    def prepare(self) -> None:
        self.fields["p_checkpoint"] = forms.CharField(widget=forms.HiddenInput, initial=self.panel.code)
        for reading in self.panel.readings:
            label = f"{reading.label} ({reading.unit})" if reading.unit else reading.label
            widget = forms.TextInput(attrs={"autocomplete": "off", "inputmode": "text"})
            if reading.own_unit:
                unit = f"{reading.name}_unit"
                self.fields[unit] = forms.CharField(widget=forms.HiddenInput, initial=reading.own_unit)
            self.fields[reading.name] = forms.CharField(
                label=label, max_length=60, widget=widget, required=reading.is_required
            )
        for choose in self.panel.choices:
            self.fields[choose.name] = forms.ChoiceField(
                label=choose.label, choices=[("yes", choose.yes), ("no", choose.no)], widget=forms.RadioSelect
            )
        for pick in self.panel.instruments:
            choices = [(c.row.code, str(c.row)) for c in pick.usable]
            self.fields[pick.name] = forms.ChoiceField(
                label=pick.label, choices=[("", _("Choose")), *choices]
            )
        if self.panel.standing.is_closed:
            self.fields["p_reason"] = forms.CharField(label=_("Why it is read again"), max_length=300)


class WitnessForm(ReadingForm):
    kind = "witness"
    action = _("Record my own reading")
    asks_pin = True

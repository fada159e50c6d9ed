"""What is typed about instruments and their calibrations: nothing is taken that could not be decided with."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.engineering.errors import QuantityError
from shop.engineering.quantities.measures import Dimension
from shop.engineering.quantities.reader import parse_quantity
from shop.instrument_data import InstrumentFigureError, instrument_data
from shop.models import Calibration, CalibrationWay, Instrument, InstrumentKind
from shop.people_forms import DayField

# What a reference rule can be laid beside; everything else takes a certificate.
CHECKED_BY_RULE = frozenset({InstrumentKind.TAPE, InstrumentKind.STEEL_RULE, InstrumentKind.TRAM_GAUGE})


class InstrumentForm(forms.ModelForm[Instrument]):
    class Meta:
        model = Instrument
        fields: tuple[str, ...] = (
            *("code", "name", "kind", "unit", "range_low", "range_high"),
            *("resolution", "permissible_error", "lever", "is_withdrawn"),
        )
        help_texts = {
            "code": _("Such as TP-1, as it is marked on it; scanned or typed at the tablet."),
            "unit": _("in which it is read: in, mm, lbf·ft, °"),
            "range_low": _("of its range, such as 20 lbf·ft; may be empty"),
            "range_high": _("such as 192 in; may be empty"),
            "resolution": _("the finest step that can be read: 1/32 in"),
            "permissible_error": _("how far off its maker lets it be: 1/32 in"),
            "lever": _("of a torque wrench: from the mark of the hand to the square, 18 in"),
        }

    def clean_lever(self) -> str:
        """A length, so that an extension can be allowed for."""
        text = str(self.cleaned_data["lever"]).strip()
        if text:
            try:
                found = parse_quantity(text)
            except QuantityError as error:
                raise forms.ValidationError(str(error)) from error
            if found.dimension is not Dimension.LENGTH or found.value <= 0:
                raise forms.ValidationError(_("A length above nothing, such as 18 in"))
        return text

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if not self.errors:
            fields = {name: value for name, value in given.items() if name in self.fields}
            try:
                instrument_data(Instrument(**fields), None)
            except InstrumentFigureError as error:
                self.add_error(error.field if error.field in self.fields else None, str(error.message))
        return given


class CalibrationForm(forms.ModelForm[Calibration]):
    class Meta:
        model = Calibration
        fields: tuple[str, ...] = (
            "instrument",
            "done_on",
            "due_on",
            "way",
            "certificate",
            "expanded_uncertainty",
            "passed",
        )

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        done, due = given.get("done_on"), given.get("due_on")
        if done and due and due < done:
            self.add_error("due_on", _("It cannot be due before it was done"))
        known = self.instance.instrument if self.instance.instrument_id else None
        instrument = given.get("instrument") or known
        by_rule = given.get("way") == CalibrationWay.REFERENCE_RULE
        if by_rule and instrument and instrument.kind not in CHECKED_BY_RULE:
            words = _("Only a tape, a rule or a tram gauge is checked against the shop's reference rule")
            self.add_error("way", words)
        if not self.errors and instrument:
            try:
                instrument_data(instrument, Calibration(**given))
            except InstrumentFigureError as error:
                self.add_error(error.field if error.field in self.fields else None, str(error.message))
        return given


class InstrumentChangeForm(InstrumentForm):
    """The code names the instrument's stream in the record; it stays."""

    class Meta(InstrumentForm.Meta):
        fields = tuple(name for name in InstrumentForm.Meta.fields if name != "code")


class CalibrationAddForm(CalibrationForm):
    """A calibration of the instrument whose page it stands on."""

    done_on = DayField(label=_("Done on"))
    due_on = DayField(label=_("Due on"))

    class Meta(CalibrationForm.Meta):
        fields = tuple(name for name in CalibrationForm.Meta.fields if name != "instrument")

"""What the walk round a car records at a desk or on a tablet held beside it."""

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.car_outline import COLUMNS, ROWS
from jobs.condition import ARCHES, Condition
from jobs.desk.forms import Choices, EntryForm
from jobs.desk.money_forms import PhotoField
from jobs.models import ConditionKind, ConditionView
from jobs.record import JobRecord
from jobs.recording.condition import FUEL

MARKS, REPORT = "condition", "condition-report"
PLACES: Choices = [
    ("", _("touched on the drawing")),
    *((f"{letter}{figure}", f"{letter}{figure}") for letter in COLUMNS for figure in ROWS),
]


class ConditionMarkForm(EntryForm):
    kind = "condition_mark"
    action = _("Put the mark")
    refreshes = "condition-changed"
    p_view = forms.ChoiceField(label=_("Seen from"), choices=ConditionView.choices)
    p_place = forms.ChoiceField(
        label=_("Place"), choices=PLACES, help_text=_("Columns A to H from the left, rows 1 to 4 from above.")
    )
    p_x_permille = forms.CharField(widget=forms.HiddenInput)
    p_y_permille = forms.CharField(widget=forms.HiddenInput)
    p_kind = forms.ChoiceField(label=_("What it is"), choices=[("", _("Choose")), *ConditionKind.choices])
    p_note = forms.CharField(label=_("Note"), max_length=200)
    p_photo = forms.CharField(widget=forms.HiddenInput)
    photo = PhotoField(label=_("Photo"))


class ConditionStrikeForm(EntryForm):
    kind = "condition_strike"
    action = _("Strike it out")
    refreshes = "condition-changed"
    p_mark = forms.CharField(widget=forms.HiddenInput)
    p_reason = forms.CharField(label=_("Why it is struck out"), max_length=200)


class HeightField(forms.CharField):
    def __init__(self, name: str) -> None:
        super().__init__(
            label=ARCHES[name],
            max_length=40,
            widget=forms.TextInput(attrs={"autocomplete": "off", "size": 12}),
        )


class ConditionReportForm(EntryForm):
    kind = "condition_report"
    action = _("Record what was read")
    refreshes = "condition-report-changed"
    p_odometer = forms.CharField(label=_("Odometer"), max_length=20)
    p_fuel = forms.ChoiceField(
        label=_("Fuel in the tank"), choices=[("", _("not read")), *((fuel, fuel) for fuel in FUEL)]
    )
    p_left_front = HeightField("left_front")
    p_right_front = HeightField("right_front")
    p_left_rear = HeightField("left_rear")
    p_right_rear = HeightField("right_rear")
    p_belongings = forms.CharField(label=_("Left in the car"), max_length=300)
    p_note = forms.CharField(label=_("Note"), max_length=1000, widget=forms.Textarea(attrs={"rows": 3}))


CONDITION_FORMS: tuple[type[EntryForm], ...] = (ConditionMarkForm, ConditionStrikeForm, ConditionReportForm)


def report_form(record: JobRecord, condition: Condition) -> ConditionReportForm:
    """Filled with the newest report: whoever reads one thing anew need not type the others again."""
    names = ("odometer", "fuel", *ARCHES, "belongings", "note")
    report = condition.report
    initial = {f"p_{name}": getattr(report, name) for name in names} if report else {}
    initial.setdefault("p_odometer", record.job.odometer)
    return ConditionReportForm(record, REPORT, initial=initial)

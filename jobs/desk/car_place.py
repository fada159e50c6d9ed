"""Where one car stands and who is put onto it, with the forms to change both."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.assigning import DONE, assignments_of
from jobs.desk.forms import MoveForm
from jobs.models import Assignment, Job, Stands
from jobs.record import JobRecord
from shop.actions import TURN_ROLES
from shop.models import Absence, Person


class AssignForm(forms.Form):
    """Whom to put onto which operation of one car."""

    person = forms.ModelChoiceField(
        Person.objects.filter(is_active=True, role__in=TURN_ROLES),
        label=gettext_lazy("Who"),
        to_field_name="username",
        empty_label=gettext_lazy("choose"),
        error_messages={"required": gettext_lazy("Choose who"), "invalid_choice": gettext_lazy("Choose who")},
    )
    operation = forms.ChoiceField(label=gettext_lazy("For"), required=False)

    def __init__(self, record: JobRecord, data: Mapping[str, Any] | None = None) -> None:
        super().__init__(data, auto_id="assign-%s")
        self.standings = {o.code: o for o in record.operations if o.job_operation.state not in DONE}
        self.fields["operation"] = forms.ChoiceField(
            label=_("For"),
            required=False,
            choices=[
                ("", _("the whole car")),
                *((code, f"{code} {o.operation.title}") for code, o in self.standings.items()),
            ],
        )


@dataclass(frozen=True)
class CarPlace:
    """One car: place, stance, people."""

    record: JobRecord
    assign_form: AssignForm
    now: dt.datetime

    @classmethod
    def load(cls, job: Job, *, now: dt.datetime, posted: Mapping[str, Any] | None = None) -> "CarPlace":
        record = JobRecord.load(job)
        return cls(record, AssignForm(record, posted), now)

    @property
    def job(self) -> Job:
        return self.record.job

    @property
    def is_on_stands(self) -> bool:
        return self.job.stands == Stands.ON_STANDS

    @cached_property
    def move_form(self) -> MoveForm:
        return MoveForm(self.record, "move")

    @cached_property
    def assignments(self) -> tuple[Assignment, ...]:
        return assignments_of([self.job]).get(self.job.pk, ())

    @cached_property
    def away(self) -> tuple[Absence, ...]:
        """Who of those put onto it is away today."""
        today = self.now.astimezone(self.record.zone).date()
        people = [row.person_id for row in self.assignments]
        rows = Absence.objects.filter(person__in=people, first_day__lte=today, last_day__gte=today)
        return tuple(rows.select_related("person"))

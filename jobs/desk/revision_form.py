"""The form by which a lead decides what becomes of a car whose revision was superseded."""

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.desk.change_forms import ON_PAPERS
from jobs.desk.forms import EntryForm, ReasonField
from jobs.models import PassedAnswer, RevisionAnswer
from jobs.procedures.car_change import Between, CarChange, ChangedPoint, car_change
from jobs.superseded import successor_of


class RevisionDecisionForm(EntryForm):
    """One answer for the car, and one for each operation that had begun and that the newer one changes."""

    kind = "revision_decision"
    action = gettext_lazy("Decide in my name")
    asks_pin = True
    may_need_second = True
    p_to = forms.CharField(widget=forms.HiddenInput)
    p_answer = forms.ChoiceField(
        label=gettext_lazy("This car"), choices=RevisionAnswer.choices, widget=forms.RadioSelect
    )

    def prepare(self) -> None:
        new = successor_of(self.record.job)
        self.change: CarChange | None = None
        if new is not None:
            between = Between.of(self.record.job.procedure_revision, new)
            self.change = car_change(self.record, between)
            self.initial.setdefault("p_to", new.revision)
            for point in self.change.asked:
                if point.is_in_new:
                    self._ask(point)
        self.fields["p_reason"] = ReasonField(label=_("Reason"), help_text=ON_PAPERS)

    def _ask(self, point: ChangedPoint) -> None:
        words = {"code": point.code, "where": point.where_words}
        self.fields[f"p_op_{point.code}"] = forms.ChoiceField(
            label=_("If it changes over: %(code)s, %(where)s") % words,
            choices=PassedAnswer.choices,
            widget=forms.RadioSelect,
        )
        self.fields[f"p_why_{point.code}"] = forms.CharField(
            label=_("Why %(code)s may stay as it was done") % words, max_length=300
        )

"""An operation that a lead adds to the route of one car, as it is typed at a desk."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from jobs.desk.change_forms import ON_PAPERS
from jobs.desk.forms import EntryForm, ReasonField
from jobs.models import CheckpointKind, CustomerAnswer, Flag, Joint, OperationState, Stage
from jobs.procedures.file.reading import SIGNALS
from jobs.recording.added_operation import ASKS, MOST_CHECKPOINTS
from shop.models import InstrumentKind, Skill

KINDS = [*ASKS, CheckpointKind.WELD]


class OperationAddForm(EntryForm):
    """Title, what it does, steps, and up to four checkpoints."""

    kind = "operation_add"
    action = _("Add the operation in my name")
    asks_pin = True
    p_title = forms.CharField(label=_("Title"), max_length=160)
    p_stage = forms.ChoiceField(label=_("Stage"), choices=Stage.choices)
    p_minutes = forms.CharField(
        label=_("Standard time, minutes"),
        widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "short"}),
    )
    p_skill = forms.ChoiceField(label=_("Skill"), choices=Skill.choices)
    p_steps = forms.CharField(
        label=_("Steps, one to a line"), max_length=3000, widget=forms.Textarea(attrs={"rows": 4})
    )
    p_caution_signal = forms.ChoiceField(label=_("Caution"), choices=[("", "–"), *((s, s) for s in SIGNALS)])
    p_caution = forms.CharField(label=_("What to beware of"), max_length=300)
    p_reason = ReasonField(label=_("Why it is added"), help_text=ON_PAPERS)

    def prepare(self) -> None:
        for flag in Flag:
            self.fields[f"p_flag_{flag.value}"] = forms.BooleanField(
                label=flag.label, widget=forms.CheckboxInput(attrs={"value": "yes"})
            )
        for n in range(1, MOST_CHECKPOINTS + 1):
            self.fields |= self._checkpoint(n)
        asked = (row for row in self.record.extra_works if row.withdrawn_at is None)
        waiting = [row for row in asked if row.answer != CustomerAnswer.NO]
        if waiting:
            choices = [("", "–"), *((str(row.number), f"X{row.number}: {row.text[:60]}") for row in waiting)]
            self.fields["p_extra_work"] = forms.ChoiceField(
                label=_("Waits for the customer's answer to"), choices=choices
            )
        first = self.record.find(self.subject)
        if first is not None:
            self.fields["p_stage"].initial = first.operation.stage
            self.fields["p_skill"].initial = first.operation.skill

    def _checkpoint(self, n: int) -> dict[str, Any]:
        kinds = [("", "–"), *((kind.value, kind.label) for kind in KINDS)]
        at = {"n": n}
        return {
            f"p_c{n}_kind": forms.ChoiceField(label=_("Checkpoint %(n)d") % at, choices=kinds),
            f"p_c{n}_title": forms.CharField(label=_("Checkpoint %(n)d: what") % at, max_length=200),
            f"p_c{n}_asks": forms.CharField(
                label=_("Checkpoint %(n)d: what is asked") % at,
                max_length=200,
                help_text=_("limit, count, or what passes") if n == 1 else "",
            ),
            f"p_c{n}_instrument": forms.ChoiceField(
                label=_("Checkpoint %(n)d: read with") % at, choices=[("", "–"), *InstrumentKind.choices]
            ),
            f"p_c{n}_joint": forms.ChoiceField(
                label=_("Checkpoint %(n)d: joint") % at, choices=Joint.choices
            ),
        }


class OperationRepeatForm(EntryForm):
    """Done once more after rework, with all its checkpoints."""

    kind = "operation_repeat"
    action = _("Have it done once more")
    asks_pin = True
    p_repeat = forms.ChoiceField(label=_("Operation"))
    p_reason = ReasonField(label=_("Why"), help_text=ON_PAPERS)

    def prepare(self) -> None:
        done = [o for o in self.record.operations if o.state == OperationState.FINISHED]
        self.fields["p_repeat"] = forms.ChoiceField(
            label=_("Operation"),
            choices=[("", _("Choose")), *((o.code, f"{o.code} {o.operation.title}") for o in done)],
        )


ADDITION_FORMS: tuple[type[EntryForm], ...] = (OperationAddForm, OperationRepeatForm)

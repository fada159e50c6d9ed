"""What somebody wants traced: an instrument, a lot, a revision, a welder."""

import datetime as dt
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.judging.questions import said
from jobs.models import ProcedureRevision
from jobs.tracing import Trace, trace_instrument, trace_lot, trace_revision, trace_welder
from shop.engineering.errors import QuantityError
from shop.engineering.joints.wrenches import ToolCheck, check_tool
from shop.engineering.quantities.measures import Dimension
from shop.engineering.quantities.reader import parse_quantity
from shop.models import Instrument, Person

KINDS = ("instrument", "lot", "revision", "welder")


class TraceForm(forms.Form):
    """One of four ways to ask; the address carries it."""

    instrument = forms.CharField(label=gettext_lazy("Instrument"), required=False, max_length=20)
    tester_set = forms.CharField(
        label=gettext_lazy("It was set to"), required=False, max_length=30,
        help_text=gettext_lazy("a torque tool, at its check: 65 lbf·ft"),
    )  # fmt: skip
    tester_read = forms.CharField(label=gettext_lazy("The tester read"), required=False, max_length=30)
    lot = forms.CharField(label=gettext_lazy("Lot of hardware or wire"), required=False, max_length=60)
    revision = forms.ModelChoiceField(
        ProcedureRevision.objects.filter(for_job=None).select_related("procedure"),
        label=gettext_lazy("Procedure and revision"),
        required=False,
    )
    welder = forms.ModelChoiceField(
        Person.objects.all(), label=gettext_lazy("Welder"), required=False, to_field_name="username"
    )

    def __init__(self, *args: Any, today: dt.date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today
        self.trace: Trace | None = None
        self.check: ToolCheck | None = None

    def clean_instrument(self) -> Instrument | None:
        code = self.cleaned_data["instrument"].strip()
        if not code:
            return None
        found = Instrument.objects.prefetch_related("calibrations").filter(code__iexact=code).first()
        if found is None:
            raise forms.ValidationError(_("There is no instrument %(code)s") % {"code": code})
        return found

    def clean(self) -> dict[str, Any]:
        found = dict(super().clean() or {})
        asked = [name for name in KINDS if found.get(name)]
        if len(asked) > 1:
            raise forms.ValidationError(_("Trace one thing at a time"))
        self._read_check(found)
        if asked and not self.errors:
            self.trace = self._traced(asked[0], found)
        return found

    def _read_check(self, found: dict[str, Any]) -> None:
        texts = {name: found.get(name, "") for name in ("tester_set", "tester_read")}
        if not any(texts.values()):
            return
        read = {}
        for name, text in texts.items():
            try:
                quantity = parse_quantity(text, default_unit="lbf·ft")
                if quantity.dimension is not Dimension.TORQUE or quantity.value <= 0:
                    self.add_error(name, _("Enter a torque, such as 65 lbf·ft"))
                else:
                    read[name] = float(quantity.to("N·m").value)
            except QuantityError as error:
                self.add_error(name, said(error))
        if len(read) == len(texts):
            self.check = check_tool(
                read["tester_set"], read["tester_read"], maximum_nm=read["tester_read"] * 2
            )

    def _traced(self, kind: str, found: dict[str, Any]) -> Trace:
        if kind == "instrument":
            return trace_instrument(found["instrument"], found_bad_on=self.today, check=self.check)
        if kind == "lot":
            return trace_lot(found["lot"])
        if kind == "revision":
            row = found["revision"]
            return trace_revision(row.procedure.code, row.revision)
        return trace_welder(found["welder"])
